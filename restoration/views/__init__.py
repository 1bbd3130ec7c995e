"""The pages of the work: today, estimates, quotes, rate books."""
