"""Tests of make-safe notices and of site safety sheets."""
