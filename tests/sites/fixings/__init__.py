"""Tests of fixings."""
