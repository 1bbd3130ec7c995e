"""What the database itself holds to, on both engines: frozen tables, history, refusals."""
