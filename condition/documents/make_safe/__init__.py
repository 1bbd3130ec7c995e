"""The make-safe notice on paper: one page, to be read on a door."""
