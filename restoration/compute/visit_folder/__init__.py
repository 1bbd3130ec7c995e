"""Visit folders: two workbooks and photographs, read into rows, with every problem named."""
