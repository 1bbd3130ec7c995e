"""Management commands of this room."""
