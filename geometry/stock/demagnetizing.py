"""Magnetometric demagnetizing factors, between 0 and 1, of magnets magnetized along their thickness.

A factor is minus the mean over the magnet of its own field along the magnetization, in units of the magnetization.
All are checked in the tests, by tables or by numerical means of the field.
"""

from __future__ import annotations

from math import atan, hypot, log, pi, sqrt

import numpy as np


def disc_demagnetizing_factor(diameter: float, thickness: float) -> float:
    """Magnetometric demagnetizing factor of a uniformly magnetized disc along its axis; sizes in m.

    The mean flux density of such a disc is that of a thin solenoid, so the factor is one minus Nagaoka's
    coefficient; with k² = D²/(D² + l²) and D = diameter, l = thickness, the coefficient is
    4/(3π √(1 − k²)) · ((1 − k²)/k² · K + (2 k² − 1)/k² · E − k).
    Source: Nagaoka, J. Coll. Sci. Tokyo 27 (1909); Joseph, J. Appl. Phys. 37 (1966) 4639 (from memory),
    checked in tests/validation against Lyle's table.
    """
    m = diameter**2 / (diameter**2 + thickness**2)
    first, second = elliptic_integrals(m)
    bracket = (1 - m) / m * first + (2 * m - 1) / m * second - m**0.5
    return 1 - 4 / (3 * pi * (1 - m) ** 0.5) * bracket


def elliptic_integrals(m: float) -> tuple[float, float]:
    """The complete ones, K and E, without unit, of the parameter m = k² below 1: by the arithmetic-geometric mean."""
    mean, other, weight, lost = 1.0, sqrt(1 - m), 0.5, m / 2
    while (gap := (mean - other) / 2) > 1e-9 * mean:
        mean, other, weight = (mean + other) / 2, sqrt(mean * other), 2 * weight
        lost += weight * gap * gap
    return pi / (mean + other), pi / (mean + other) * (1 - lost)


def ring_demagnetizing_factor(diameter: float, bore: float, thickness: float) -> float:
    """The same of a ring, sizes in m, bore below diameter.

    The ring is a disc less the disc of its bore, so its magnetic energy is that of both discs less twice what each
    has in the other's field: with the factors N of the discs and their face areas A,
    N = (N₁ A₁ + N₂ A₂ − 2 X)/(A₁ − A₂), where X comes from `_mutual`.
    """
    outer, inner = disc_demagnetizing_factor(diameter, thickness), disc_demagnetizing_factor(bore, thickness)
    squares = diameter**2 / 4, bore**2 / 4
    total = outer * squares[0] + inner * squares[1] - 2 * _mutual(diameter / 2, bore / 2, thickness)
    return total / (squares[0] - squares[1])


def _mutual(outer: float, inner: float, thickness: float) -> float:
    """(2 a b/t) ∫ (1 − e^(−k t)) J₁(k a) J₁(k b)/k² dk for the radii a and b, m².

    By the addition theorem J₁(ka) J₁(kb) = 1/π ∫ J₀(k w) cos θ dθ with w² = a² + b² − 2ab cos θ, the integral over k
    becomes √(t² + w²) − w − t ln(t + √(t² + w²)), up to terms that the cosine wipes out.
    """
    count = max(256, int(60 * outer / (outer - inner)))
    angle = (np.arange(count) + 0.5) * pi / count
    apart = np.sqrt(outer**2 + inner**2 - 2 * outer * inner * np.cos(angle))
    slant = np.sqrt(thickness**2 + apart**2)
    kernel = slant - apart - thickness * np.log((thickness + slant) / outer)
    return float(2 * outer * inner / thickness * np.mean(kernel * np.cos(angle)))


def block_demagnetizing_factor(length: float, width: float, thickness: float) -> float:
    """The same of a rectangular block, sizes in m.

    Source: Aharoni, J. Appl. Phys. 83 (1998) 3432, eq. 1 (from memory), checked in the tests against a numerical mean.
    """
    a, b, c = length / 2, width / 2, thickness / 2
    ab, bc, ca, abc = hypot(a, b), hypot(b, c), hypot(c, a), hypot(a, b, c)
    logs = (
        (b * b - c * c) / (2 * b * c) * log((abc - a) / (abc + a))
        + (a * a - c * c) / (2 * a * c) * log((abc - b) / (abc + b))
        + b / (2 * c) * log((ab + a) / (ab - a))
        + a / (2 * c) * log((ab + b) / (ab - b))
        + c / (2 * a) * log((bc - b) / (bc + b))
        + c / (2 * b) * log((ca - a) / (ca + a))
    )
    roots = (a**3 + b**3 - 2 * c**3 + (a * a + b * b - 2 * c * c) * abc) / (3 * a * b * c)
    roots += c / (a * b) * (ca + bc) - (ab**3 + bc**3 + ca**3) / (3 * a * b * c)
    return (logs + 2 * atan(a * b / (c * abc)) + roots) / pi
