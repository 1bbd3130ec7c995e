"""Draws pictures that look like a studio's record photographs of leaded windows."""
