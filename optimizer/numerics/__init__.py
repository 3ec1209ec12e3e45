"""Numerics: quadrature and roots."""

__all__ = ["quadrature", "roots"]
