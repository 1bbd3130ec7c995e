"""Settings: `base` reads the environment; `test` is what the test suite runs with."""
