"""Parts: solids to print."""

__all__ = ["bed", "carrier", "former", "pockets", "skein", "solids"]
