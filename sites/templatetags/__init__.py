"""Template tags and filters of the trade."""
