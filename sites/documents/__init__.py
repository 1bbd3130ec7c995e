"""What the documents of every room are made of."""
