"""Tests of the geometry of outlines."""
