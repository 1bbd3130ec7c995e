"""Tests of what is dangerous today, what holds it, and what has ended it."""
