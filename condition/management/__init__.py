"""Management of this room."""
