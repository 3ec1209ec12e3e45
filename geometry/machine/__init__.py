"""Machine: carriers, winding and gap in one layout, its filaments, and its file."""
