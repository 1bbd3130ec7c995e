"""Reading everything that is kept against what was written down of it when it came in."""
