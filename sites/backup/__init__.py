"""Backup and restore of the whole record, rows and stored files, whichever database holds it."""
