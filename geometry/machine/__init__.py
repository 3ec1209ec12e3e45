"""Machine: carriers, winding and gap in one layout, its filaments, and its file."""

__all__ = ["arrangement", "filaments", "layout", "layout_file", "leads", "machine_tables", "speed"]
