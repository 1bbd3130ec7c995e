"""Bars and what bears on them, screened: wind by two codes, bending, self-weight, spacing."""
