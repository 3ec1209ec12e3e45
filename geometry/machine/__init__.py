"""Machine: carriers, winding and gap in one layout, its filaments, and its file."""

__all__ = ["filaments", "layout", "layout_file", "speed"]
