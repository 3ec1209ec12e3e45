"""The axial field of a solid disc in closed form; the tests hold it to magpylib and to the paper's own integral.

With γ = (a − ρ)/(a + ρ), each face at height h below the point adds ± h/√(h² + (a + ρ)²) · a/(a + ρ) C(k, γ², 1, γ)/π
of the polarization, where C is Bulirsch's complete elliptic integral.
Sources: Derby, Olbert, Am. J. Phys. 78 (2010) 229, eq. 4 to 8; Bulirsch, Numer. Math. 13 (1969) 305 (both from memory).
"""

from __future__ import annotations

import numpy as np

from geometry.curves.curve import Real

CLOSE = 1e-8  # relative gap between the two means at which the integral, whose error is the square, is known
TINY = 1e-150  # in place of a zero that would be divided by


def disc_field(half: float, distance: Real, height: Real) -> Real:
    """B_z over the polarization, a ratio, of a disc: its half thickness, distances from its axis and heights above its
    middle, of any shape that broadcast, all three relative to its radius."""
    aside = 1 + distance
    gamma = (1 - distance) / aside
    faces = np.stack([height + half, height - half])
    slant = np.hypot(faces, aside)
    upper, lower = faces / slant * _integral(np.hypot(faces, 1 - distance) / slant, gamma)
    return (upper - lower) / (np.pi * aside)


def _integral(modulus: Real, gamma: Real) -> Real:
    """∫ (cos²t + γ sin²t)/(cos²t + γ² sin²t)/√(cos²t + k² sin²t) dt to π/2, of the complementary modulus k."""
    root = np.maximum(np.abs(gamma), TINY) * np.ones_like(modulus)
    even, odd = np.ones_like(modulus), np.sign(gamma) * np.ones_like(modulus)
    mean, other = np.ones_like(modulus), np.maximum(modulus, TINY)
    product = other
    while True:
        ratio = product / root
        even, odd = even + odd / root, 2 * (odd + even * ratio)
        root = root + ratio
        before, mean = mean, mean + other
        if np.all(np.abs(before - other) <= before * CLOSE):
            return np.pi / 2 * (odd + even * mean) / (mean * (mean + root))
        other = 2 * np.sqrt(product)
        product = mean * other
