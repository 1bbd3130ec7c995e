"""The words of a plaque: laid out at true size, judged for reading, and listed for checking."""
