"""What is typed about a visit."""
