"""An app with one slow task, for the fault tests."""
