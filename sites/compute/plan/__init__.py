"""The plan of a building: its walls, the openings along them, and its drawing."""
