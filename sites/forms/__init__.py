"""The forms of the register, and what the forms of every room share."""
