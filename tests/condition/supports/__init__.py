"""Tests of the screening of supports."""
