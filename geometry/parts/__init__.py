"""Parts: solids to print."""
