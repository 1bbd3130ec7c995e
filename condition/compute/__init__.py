"""Computation of the condition room: plain functions that know nothing of Django."""
