"""What can hurt somebody on a visit or a job, reckoned from its facts. Pure."""
