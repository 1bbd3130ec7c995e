"""Defects planted on purpose, one at a time, and the tests that catch them: `make mutants`."""
