"""The forms of estimates, quotes and rate books."""
