"""Photographs as they arrive: recognised, measured, hashed, and made into small upright copies."""
