"""Numerics: quadrature and roots."""

__all__ = ["even_spline", "quadrature", "roots", "wright_omega"]
