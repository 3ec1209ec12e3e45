"""Inductance of a phase: Neumann's double integral over the actual turns, coil by coil and between coils.

The mutual inductance of two turns a distance d apart (in the bundle's section) behaves like −μ0 ℓ/(2π) ln d;
the rest is smooth in their offsets and their difference in height. The rest is computed at a few Chebyshev
nodes, where the vector potential of each chord is taken in closed form, and interpolated to every pair of turns;
the logarithm is added pair by pair. A turn's own distance is the geometric mean distance of its round wire,
r·e^(−1/4) (uniform current), from Maxwell and Grover (Inductance Calculations, 1946).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import exp, pi

import numpy as np

from geometry.curve import Complex, Curve, Real, polyline, rotated_curve
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.section import turn_positions
from optimizer.quadrature import chebyshev, chebyshev_basis

MU0 = 4e-7 * pi  # H/m
WIRE_GMD = exp(-0.25)  # of a round section, over its radius
RECTANGLE_GMD = (
    0.2236  # of a rectangle, over the sum of its sides (Grover; within 0.2 % for any ratio of sides)
)
ACROSS, ALONG = 6, 5  # Chebyshev nodes of offset and of squared height difference
CLOSE = 0.02  # least distance at the nodes, of the section's larger side
STEP, SAGITTA = 1.5e-3, 2e-6  # m, of the chords
MOST_TURNS = 900  # beyond it, equal parts of the section stand for the turns


@dataclass(frozen=True, slots=True, kw_only=True)
class Inductances:
    """H. phase: all coils in series. coil: one coil alone. mutual: what the other coils add to each coil."""

    phase: float
    coil: float
    mutual: float


def neumann_inductance(layout: Layout) -> float:
    """Inductance in H of the phase, all coils in series in their senses."""
    return inductances(layout).phase


def inductances(layout: Layout) -> Inductances:
    """The phase's inductance, and its parts, from every pair of turns."""
    turns = _Turns.of(layout)
    own, others = _smooth_parts(layout)
    alone = _summed(turns, own) - turns.logarithms(layout)
    mutual = _summed(turns, others)
    scale = layout.winding.turns**2 / turns.count**2
    coil, mutual = alone * scale, mutual * scale
    return Inductances(phase=layout.coils * (coil + mutual), coil=coil, mutual=mutual)


@dataclass(frozen=True, slots=True)
class _Turns:
    """The turns in the section, or equal parts that stand for them: offsets, levels, a part's own distance, m."""

    offsets: Real
    levels: Real
    own: float

    @classmethod
    def of(cls, layout: Layout) -> _Turns:
        winding = layout.winding
        count = min(winding.turns, MOST_TURNS)
        offsets, levels = turn_positions(count, winding.width, winding.height)
        own = winding.wire.diameter / 2 * WIRE_GMD
        if count < winding.turns:
            own = RECTANGLE_GMD * 2 * (winding.width * winding.height / count) ** 0.5
        return cls(offsets, levels, own)

    @property
    def count(self) -> int:
        return self.offsets.size

    def logarithms(self, layout: Layout) -> float:
        """Sum over all pairs of one coil of μ0 ℓ/(2π) ln d, H."""
        gaps = np.hypot(self.offsets[:, None] - self.offsets, self.levels[:, None] - self.levels)
        np.fill_diagonal(gaps, self.own)
        root = np.sqrt(_coil_length(layout, self.offsets))
        return float(MU0 / (2 * pi) * root @ np.log(gaps) @ root)


def _coil_length(layout: Layout, offsets: Real) -> Real:
    return layout.topology.turn_length(layout.envelope, offsets) / layout.coils


def _summed(turns: _Turns, smooth: Real) -> float:
    """Interpolate (ACROSS, ACROSS, ALONG) to every pair of turns, and add up."""
    half, tall = np.abs(turns.offsets).max() or 1.0, np.ptp(turns.levels) or 1.0
    across = chebyshev_basis(ACROSS, turns.offsets / half)
    total = 0.0
    levels, level = np.unique(turns.levels, return_inverse=True)
    rows = np.stack([across[level == j].sum(axis=0) for j in range(levels.size)])
    along = chebyshev_basis(ALONG, 2 * ((levels[:, None] - levels) / tall) ** 2 - 1)
    total = np.einsum("iu,jv,ijh,uvh->", rows, rows, along, smooth, optimize=True)
    return float(total)


def _smooth_parts(layout: Layout) -> tuple[Real, Real]:
    """At the nodes (ACROSS, ACROSS, ALONG), H: one coil with itself, logarithm out, and with all other coils."""
    turns, topology = _Turns.of(layout), layout.topology
    half, tall = np.abs(turns.offsets).max(), np.ptp(turns.levels)
    nearest = CLOSE * max(layout.winding.width, layout.winding.height)
    offsets = chebyshev(ACROSS) * half
    rise = np.hypot(tall * np.sqrt((chebyshev(ALONG) + 1) / 2), nearest)
    targets = [_gauss_points(topology.half_turn(layout.envelope, float(u))) for u in offsets]
    curves = [topology.turn(layout.envelope, float(u)) for u in offsets]
    root = np.sqrt(_coil_length(layout, offsets))
    halves = topology.half_turns(layout.carrier.count) / layout.coils
    own, others = np.zeros((2, ACROSS, ACROSS, ALONG))
    for a, b in combinations_with_replacement(range(ACROSS), 2):
        alone, rest = _mutuals(layout, targets[a], curves[b], rise)
        logarithm = np.log(np.hypot(offsets[a] - offsets[b], rise))
        own[a, b] = own[b, a] = halves * alone + MU0 / (2 * pi) * root[a] * root[b] * logarithm
        others[a, b] = others[b, a] = halves * rest
    return own, others


def _gauss_points(half_turn: Curve) -> tuple[Complex, Complex]:
    """Two Gauss points on each chord of an open curve, and the steps they stand for."""
    corners = np.append(polyline(half_turn, step=STEP, sagitta=SAGITTA), half_turn[-1].at(1.0))
    step = np.diff(corners)
    nodes = np.array([0.5 - 12**-0.5, 0.5 + 12**-0.5])
    return (corners[:-1] + nodes[:, None] * step).ravel(), np.tile(step / 2, 2)


def _mutuals(layout: Layout, target: tuple[Complex, Complex], curve: Curve, rise: Real) -> tuple[Real, Real]:
    """Mutual inductance with the same coil's and with all other coils' turn `curve`, `rise` (H,) higher."""
    alone, rest = np.zeros(rise.size), np.zeros(rise.size)
    for index, (angle, sense) in enumerate(coil_senses(layout)):
        found = sense * _neumann(*target, rotated_curve(curve, angle), rise)
        if index == 0:
            alone += found
        else:
            rest += found
    return alone, rest


def _neumann(points: Complex, steps: Complex, curve: Curve, rise: Real) -> Real:
    """Mutual inductance (H,) between the stepped points and the chords of `curve`."""
    corners = polyline(curve, step=STEP, sagitta=SAGITTA)
    chords = np.roll(corners, -1) - corners
    lengths = np.abs(chords)
    directions = chords / lengths
    toward = np.abs(points[:, None] - corners) ** 2
    product = (steps[:, None] * directions.conj()).real
    found = np.empty(rise.size)
    for index, height in enumerate(rise):
        distance = np.sqrt(toward + height**2)
        ends = distance + np.roll(distance, -1, axis=1)
        found[index] = np.sum(product * np.log((ends + lengths) / (ends - lengths)))
    return MU0 / (4 * pi) * found
