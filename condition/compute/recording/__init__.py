"""The rules of what is recorded: plain values in, problems out."""
