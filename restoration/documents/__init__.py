"""The repair quote: its snapshot, and its layout."""
