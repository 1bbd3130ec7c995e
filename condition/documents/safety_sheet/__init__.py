"""The site safety sheet on paper: one page to take along."""
