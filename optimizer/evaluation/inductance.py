"""Inductance of a phase: Neumann's double integral over the actual turns, coil by coil and between coils.

The mutual inductance of two turns a distance d apart (in the bundle's section) behaves like −μ0 ℓ/(2π) ln d;
the rest is smooth in their offsets and their difference in height. The rest is computed at a few Chebyshev
nodes, where the vector potential of each chord is taken in closed form, and interpolated to every pair of turns;
the logarithm is added pair by pair. A turn's own distance is the geometric mean distance of its round wire,
r·e^(−1/4) (uniform current), from Maxwell and Grover (Inductance Calculations, 1946).

Beside that sum stand formulas of the books.

Of circular coils: Wheeler's for a multilayer coil, L = 0.8 a² n²/(6a + 9b + 10c) µH with mean radius a, length b and
depth c in inches (Proc. IRE 16 (1928) 1398; about 1 % where the three terms are alike, for longer or thinner ones less
good).
Of any other: a circle of the turn's perimeter ℓ and enclosed area A, whose section has the rectangle's geometric
mean distance g: L = μ0 n² ℓ/(2π) · (ln(16 A/(ℓ g)) − 2). That is Maxwell's circle (R = 2A/ℓ; Grover, Inductance
Calculations (1946), where flat figures go by perimeter and area); 7 % high for a square, and for a pair of long
parallel wires right but for 0.08 in the logarithm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations_with_replacement
from math import exp, log, pi
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Complex, Curve, Real, polyline
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from optimizer.numerics.quadrature import chebyshev, chebyshev_basis, gauss

MU0 = 4e-7 * pi  # H/m
WIRE_GMD = exp(-0.25)  # of a round section, over its radius
RECTANGLE_GMD = 0.2236  # of a rectangle, over the sum of its sides (Grover; within 0.2 % for any ratio)
OWN, APART = (6, 5), (3, 3)  # Chebyshev nodes of offset and of squared height difference: near a coil and further off
CLOSE = 0.02  # least distance at the nodes, of the section's larger side
STEP, SAGITTA = 1.5e-3, 2e-6  # m, of the chords
CELLS = 3  # of images between two plates, both ways
RISES, SAMPLED = 6, 60  # height differences between phases; turns of which they are taken
INCH = 0.0254  # m
MAX_TURNS = 900  # beyond it, equal parts of the section stand for the turns

Weights: TypeAlias = list[tuple[float, float]]
Points: TypeAlias = tuple[Complex, Complex]
Between: TypeAlias = Callable[[int, int, Points, Complex], Real]


@dataclass(frozen=True, slots=True, kw_only=True)
class Inductances:
    """H. phase: all its coils in series. coil: one coil alone. mutual: what all else adds to each coil.

    That is the phase's other coils, on both sides of the magnets, and all coils' images in steel plates.
    """

    phase: float
    coil: float
    mutual: float


def neumann_inductance(layout: Layout) -> float:
    """Inductance in H of one phase, its coils in series in their senses."""
    return inductances(layout).phase


@lru_cache(maxsize=64)
def inductances(layout: Layout) -> Inductances:
    """The inductance of one phase, and its parts, from every pair of turns; steel as infinitely permeable."""
    turns, weights = _Turns.of(layout), _pair_weights(layout)
    beside, beyond = _by_nearness(layout, weights[1:])
    own, others = _alone(layout, turns), _with_fellows(layout, turns, beside, OWN)
    scale = layout.winding.turns**2 / turns.offsets.size**2
    coil = (_summed(turns, own) - turns.logarithms(layout)) * scale
    others = _summed(turns, others) + _summed(turns, _with_fellows(layout, turns, beyond, APART))
    mutual = others * scale + _far_part(layout, turns, weights)
    coils = len(layout.order.members[0]) * layout.sides
    return Inductances(phase=coils * (coil + mutual), coil=coil, mutual=mutual)


@lru_cache(maxsize=64)
def mutual_inductance(layout: Layout) -> float:
    """Mean mutual inductance in H of two phases of three, each in its senses; below zero as a rule.

    The turns of both bundles stand at Gauss's points across, and at a few typical differences of height. Raises
    ValueError for one phase.
    """
    if layout.phases != 3:
        raise ValueError(f"phases must be 3 for one to act on another, was {layout.phases}")
    pairs = ((0, 1), (1, 2), (0, 2)) if layout.stacked else ((0, 1),)
    return sum(_between(layout, *pair) for pair in pairs) / len(pairs)


def _between(layout: Layout, first: int, second: int) -> float:
    """Mutual inductance of two phases, H."""
    weights = _phase_weights(layout, first, second)
    rise, half = _typical_rises(layout, first, second), layout.winding.width / 2
    nodes, shares = gauss(3)
    near = 0.0
    for u, share in zip(2 * nodes - 1, shares, strict=True):
        target = _gauss_points(layout.topology.half_turn(layout.envelope, float(u * half)))
        for v, other in zip(2 * nodes - 1, shares, strict=True):
            corners = _corners(layout.topology.turn(layout.envelope, float(v * half)))
            near += share * other * float(_weighted(target, corners, rise, weights).mean())
    coil = _halves(layout) * layout.winding.turns**2 * near + _far_part(layout, _Turns.of(layout), weights)
    return len(layout.order.members[first]) * layout.sides * coil


def _typical_rises(layout: Layout, first: int, second: int) -> Real:
    """A few height differences, m, that stand for those of all pairs of turns of two phases."""
    levels = [phase_turns(layout, phase)[1] for phase in (first, second)]
    thinned = [each[:: max(1, each.size // SAMPLED)] for each in levels]
    gaps = np.sort(np.abs(thinned[0][:, None] - thinned[1]).ravel())
    groups = np.array_split(gaps, min(RISES, gaps.size))
    return np.maximum([group.mean() for group in groups], layout.winding.wire.overall_diameter)


def _phase_weights(layout: Layout, first: int, second: int) -> Weights:
    """Angles between coils of two phases, and the mean over a phase's coils of the product of senses there.

    Each angle counts half to either side: half a turn stands for the whole, and its other half is its mirror image.
    """
    axes, members = layout.order.axes, layout.order.members
    weights: dict[float, float] = {}
    for one, sense in members[first]:
        for other, other_sense in members[second]:
            for angle in (axes[other] - axes[one], axes[one] - axes[other]):
                key = round(angle % (2 * pi), 9)
                weights[key] = weights.get(key, 0.0) + sense * other_sense / (2 * len(members[first]))
    return [(angle, weight) for angle, weight in sorted(weights.items()) if weight]


@dataclass(frozen=True, slots=True)
class _Turns:
    """The turns in the section, or equal parts that stand for them: offsets, levels, a part's own distance, m.

    That of strands in hand counts all of them as touching each other, as two or three do.
    """

    offsets: Real
    levels: Real
    own: float

    @classmethod
    def of(cls, layout: Layout) -> _Turns:
        winding = layout.winding
        wire = winding.wire
        own = (wire.diameter / 2 * WIRE_GMD * wire.overall_diameter ** (wire.strands - 1)) ** (1 / wire.strands)
        if winding.turns > MAX_TURNS:
            layout = replace(layout, winding=replace(winding, turns=MAX_TURNS))
            own = RECTANGLE_GMD * 2 * (winding.width * winding.height / MAX_TURNS) ** 0.5
        return cls(*phase_turns(layout), own)

    def logarithms(self, layout: Layout) -> float:
        """Sum over all pairs of one coil of μ0 ℓ/(2π) ln d, H."""
        gaps = np.hypot(self.offsets[:, None] - self.offsets, self.levels[:, None] - self.levels)
        np.fill_diagonal(gaps, self.own)
        root = np.sqrt(_coil_length(layout, self.offsets))
        return float(MU0 / (2 * pi) * root @ np.log(gaps) @ root)


def _coil_length(layout: Layout, offsets: Real) -> Real:
    return layout.topology.turn_length(layout.envelope, offsets) / layout.topology.coils(layout.sectors)


def _pair_weights(layout: Layout) -> Weights:
    """Angles between coils of a phase, and the mean over its coils of the product of senses at that angle.

    The angle of a coil with itself comes first.
    """
    axes, members = layout.order.axes, layout.order.members[0]
    products = np.zeros(len(axes))
    for first, sense in members:
        for second, other in members:
            products[(second - first) % len(axes)] += sense * other / len(members)
    return [(2 * pi * step / len(axes), float(products[step])) for step in range(len(axes)) if products[step]]


def _summed(turns: _Turns, smooth: Real) -> float:
    """Interpolate (A, A, H) at Chebyshev nodes to every pair of turns, and add up."""
    half, tall = np.abs(turns.offsets).max() or 1.0, np.ptp(turns.levels) or 1.0
    across = chebyshev_basis(smooth.shape[0], turns.offsets / half)
    levels, level = np.unique(turns.levels, return_inverse=True)
    rows = np.stack([across[level == j].sum(axis=0) for j in range(levels.size)])
    along = chebyshev_basis(smooth.shape[2], 2 * ((levels[:, None] - levels) / tall) ** 2 - 1)
    return float(np.einsum("iu,jv,ijh,uvh->", rows, rows, along, smooth, optimize=True))


def _alone(layout: Layout, turns: _Turns) -> Real:
    """One coil with itself, the logarithm out, at the nodes (A, A, H), H."""
    offsets, rise = _nodes(layout, turns, OWN)
    root, halves = np.sqrt(_coil_length(layout, offsets)), _halves(layout)

    def between(a: int, b: int, target: Points, corners: Complex) -> Real:
        logarithm = np.log(np.hypot(offsets[a] - offsets[b], rise))
        return halves * _neumann(*target, corners, rise) + MU0 / (2 * pi) * root[a] * root[b] * logarithm

    return _at_nodes(layout, offsets, rise, between)


def _by_nearness(layout: Layout, weights: Weights) -> tuple[Weights, Weights]:
    """Angles of the coils beside a coil, whose bundles may touch its own, and of those beyond, with their weights."""
    sector = 2 * pi / len(layout.order.axes) * 1.5
    beside = [(angle, weight) for angle, weight in weights if min(angle, 2 * pi - angle) < sector]
    return beside, [each for each in weights if each not in beside]


def _with_fellows(layout: Layout, turns: _Turns, weights: Weights, sizes: tuple[int, int]) -> Real:
    """One coil with its fellows at these angles, weighted, at nodes (A, A, H), H."""
    offsets, rise = _nodes(layout, turns, sizes)
    halves = _halves(layout)

    def between(_a: int, _b: int, target: Points, corners: Complex) -> Real:
        return halves * _weighted(target, corners, rise, weights)

    return _at_nodes(layout, offsets, rise, between)


def _nodes(layout: Layout, turns: _Turns, sizes: tuple[int, int]) -> tuple[Real, Real]:
    """Offsets (A,) and differences of height (H,), m."""
    half, tall = np.abs(turns.offsets).max(), np.ptp(turns.levels)
    nearest = CLOSE * max(layout.winding.width, layout.winding.height)
    return chebyshev(sizes[0]) * half, np.hypot(tall * np.sqrt((chebyshev(sizes[1]) + 1) / 2), nearest)


def _at_nodes(layout: Layout, offsets: Real, rise: Real, between: Between) -> Real:
    """What is between a turn at one offset and one at another, as (A, A, H); the same the other way about."""
    targets = [_gauss_points(layout.topology.half_turn(layout.envelope, float(u))) for u in offsets]
    loops = [_corners(layout.topology.turn(layout.envelope, float(u))) for u in offsets]
    found = np.zeros((offsets.size, offsets.size, rise.size))
    for a, b in combinations_with_replacement(range(offsets.size), 2):
        found[a, b] = found[b, a] = between(a, b, targets[a], loops[b])
    return found


def _halves(layout: Layout) -> float:
    """Half turns, all alike, in a turn of one coil."""
    return layout.topology.halves(layout.sectors)


def _weighted(target: Points, corners: Complex, rise: Real, weights: Weights) -> Real:
    """Mutual inductance with a closed turn turned by every angle, weighted, `rise` (H,) higher."""
    parts = [weight * _neumann(*target, corners * np.exp(1j * angle), rise) for angle, weight in weights]
    return np.sum(parts, axis=0) if parts else np.zeros(rise.size)


def _far_part(layout: Layout, turns: _Turns, weights: Weights) -> float:
    """What coils beyond the magnets and images in steel add to each coil, H; bundles as their middle turns."""
    separations = _separations(layout, layout.air_gap + float(turns.levels.mean()))
    if not separations:
        return 0.0
    target = _gauss_points(layout.topology.half_turn(layout.envelope, 0.0))
    middle = _corners(layout.topology.turn(layout.envelope, 0.0))
    apart = _weighted(target, middle, np.array(separations), weights)
    return _halves(layout) * layout.winding.turns**2 * float(apart.sum())


def _separations(layout: Layout, middle: float) -> list[float]:
    """Along the shaft, m, from a coil at `middle` above the magnet faces to the other side's and to images."""
    carrier, thickness = layout.carrier, layout.carrier.magnet.thickness
    if layout.sides == 2:
        return [2 * middle + thickness]
    if not carrier.plate:
        return []
    mirrored = 2 * (middle + thickness)
    if carrier.arrangement != "facing":
        return [mirrored]
    period = 2 * (layout.clear + 2 * thickness)
    cells = [cell * period for cell in range(-CELLS, CELLS + 1)]
    return [abs(mirrored - cell) for cell in cells] + [abs(cell) for cell in cells if cell]


def _gauss_points(half_turn: Curve) -> Points:
    """Two Gauss points on each chord of an open curve, and the steps they stand for."""
    corners = np.append(polyline(half_turn, step=STEP, sagitta=SAGITTA), half_turn[-1].at(1.0))
    step = np.diff(corners)
    nodes = np.array([0.5 - 12**-0.5, 0.5 + 12**-0.5])
    return (corners[:-1] + nodes[:, None] * step).ravel(), np.tile(step / 2, 2)


def _corners(turn: Curve) -> Complex:
    """Of the chords of a closed turn, m, (C,)."""
    return polyline(turn, step=STEP, sagitta=SAGITTA)


def _neumann(points: Complex, steps: Complex, corners: Complex, rise: Real) -> Real:
    """Mutual inductance (H,) between the stepped points and the chords between the corners of a closed turn."""
    chords = np.roll(corners, -1) - corners
    lengths = np.abs(chords)
    directions = chords / lengths
    toward = np.abs(points[:, None] - np.append(corners, corners[0])) ** 2
    product = (steps[:, None] * directions.conj()).real
    mutual, distance = np.empty(rise.size), np.empty_like(toward)
    ends, less = np.empty_like(product), np.empty_like(product)
    for index, height in enumerate(rise):  # in place: fresh memory for each takes as long as the sums
        np.sqrt(np.add(toward, height**2, out=distance), out=distance)
        np.add(distance[:, :-1], distance[:, 1:], out=ends)
        np.subtract(ends, lengths, out=less)
        np.log(np.divide(np.add(ends, lengths, out=ends), less, out=ends), out=ends)
        mutual[index] = np.vdot(product, ends)
    return MU0 / (4 * pi) * mutual


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
        henries = wheeler_multilayer(radius, winding.height, winding.width, winding.turns)
        return Formula(name="Wheeler, multilayer coil", inductance=henries, band=0.05)
    length, area = _perimeter_and_area(layout)
    henries = equal_circle(length, area, gmd, winding.turns)
    name = "circle of equal perimeter and area"
    return Formula(name=name, inductance=henries, band=0.15 if layout.topology.concentrated else 0.3)


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
