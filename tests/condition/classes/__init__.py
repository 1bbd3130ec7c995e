"""Tests of the classes proposed and set."""
