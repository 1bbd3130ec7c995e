"""The one way to record what was seen: each record is checked and written by one service."""
