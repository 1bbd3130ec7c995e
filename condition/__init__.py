"""What was seen, when, by whom, and how bad it is."""
