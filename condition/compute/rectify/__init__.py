"""Measuring on a photograph: from points whose places are known to lengths in millimetres."""
