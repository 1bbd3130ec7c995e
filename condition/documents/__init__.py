"""The condition report: its snapshot, and its layout."""
