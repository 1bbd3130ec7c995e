"""What changes the register."""
