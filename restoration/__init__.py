"""What is done about it, and the wiring of the whole project."""
