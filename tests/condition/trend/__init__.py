"""What changed from survey to survey: trends, answers, comparisons."""
