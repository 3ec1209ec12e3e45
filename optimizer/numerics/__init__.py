"""Numerics: quadrature and roots."""
