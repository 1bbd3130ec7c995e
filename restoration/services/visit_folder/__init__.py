"""Taking in a visit folder: checked whole, written in one transaction, issued as documents."""
