"""Quantities of a panel."""
