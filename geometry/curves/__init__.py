"""Curves: lines and arcs that broadcast, and rounded corners between them."""

__all__ = ["curve"]
