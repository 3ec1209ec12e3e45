"""Stock: what can be bought: wire, magnet grades and magnet shapes, with the sources of their figures."""

__all__ = ["magnet", "magnet_shapes", "pull", "wire", "wire_words"]
