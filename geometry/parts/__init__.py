"""Parts: solids to print."""

__all__ = ["bed", "carrier", "former", "part_files", "skein", "solids"]
