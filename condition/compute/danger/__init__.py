"""Danger: whether something can come down, who can be under it, what holds it, what ended it."""
