"""What shots seen in practice say about the numbers."""
