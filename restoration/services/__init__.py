"""What changes studios, estimates and quotes, and takes in visit folders."""
