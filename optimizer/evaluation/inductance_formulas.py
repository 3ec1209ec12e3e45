"""Inductance of one coil by formulas of the books, to set beside the sum over its turns.

Of circular coils: Wheeler's for a multilayer coil, L = 0.8 a² n²/(6a + 9b + 10c) µH with mean radius a, length b and
depth c in inches (Proc. IRE 16 (1928) 1398; about 1 % where the three terms are alike, for longer or thinner ones less
good).
Of any other: a circle of the turn's perimeter ℓ and enclosed area A, whose section has the rectangle's geometric
mean distance g: L = μ0 n² ℓ/(2π) · (ln(16 A/(ℓ g)) − 2). That is Maxwell's circle (R = 2A/ℓ; Grover, Inductance
Calculations (1946), where flat figures go by perimeter and area); 7 % high for a square, and for a pair of long
parallel wires right but for 0.08 in the logarithm.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi

import numpy as np

from geometry.machine.layout import Layout
from optimizer.evaluation.inductance import MU0, RECTANGLE_GMD

INCH = 0.0254  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """One coil's inductance in H by a formula: its name, and how far it may be off the sum over the turns, a share."""

    name: str
    inductance: float
    band: float


def coil_formula(layout: Layout) -> Formula:
    """The formula for the layout's coil shape: the book's of a circular coil, else that of any closed turn."""
    winding = layout.winding
    gmd = RECTANGLE_GMD * (winding.width + winding.height)
    if layout.topology.ring is not None:
        radius = (winding.outer_radius - winding.inner_radius - winding.width) / 2
        found = wheeler_multilayer(radius, winding.height, winding.width, winding.turns)
        return Formula(name="Wheeler, multilayer coil", inductance=found, band=0.05)
    length, area = _perimeter_and_area(layout)
    found = equal_circle(length, area, gmd, winding.turns)
    name = "circle of equal perimeter and area"
    return Formula(name=name, inductance=found, band=0.15 if layout.topology.concentrated else 0.3)


def wheeler_multilayer(radius: float, length: float, depth: float, turns: int) -> float:
    """H; mean radius, length along the axis and radial depth in m."""
    inches = (6 * radius + 9 * length + 10 * depth) / INCH
    return 0.8e-6 * (radius / INCH) ** 2 * turns**2 / inches


def equal_circle(length: float, area: float, gmd: float, turns: int) -> float:
    """H of a flat loop of perimeter `length` (m) and `area` (m²), its section's geometric mean distance `gmd` (m)."""
    return MU0 * turns**2 * length / (2 * pi) * (log(16 * area / (length * gmd)) - 2)


def _perimeter_and_area(layout: Layout) -> tuple[float, float]:
    turn = layout.topology.turn(layout.envelope, 0.0)
    points = np.concatenate(
        [np.atleast_1d(stretch.at(np.linspace(0, 1, 40, endpoint=False))) for stretch in turn]
    )
    after = np.roll(points, -1)
    area = abs(float(np.sum(points.real * after.imag - points.imag * after.real)) / 2)
    return float(np.abs(after - points).sum()), area
