"""Damage maps and measured photographs."""
