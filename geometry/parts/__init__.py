"""Parts: solids to print."""

__all__ = ["bed", "carrier", "cover", "former", "part_files", "skein", "solids"]
