"""One kind of magnet's field for scan and search alike: pole harmonics over radius, averaged over the bundle's height.

Over the pitch radius and over the height the harmonics are smooth, so they are worked out once at a few of each.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import ceil, log, pi, sqrt
from threading import Lock

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real, Whole
from geometry.machine.layout import magnet_stack
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.field.charged_faces import Faces, charged_faces
from optimizer.field.ring_potential import RingPotential, face_rows
from optimizer.numerics.quadrature import POINTS, chebyshev, chebyshev_basis, even_grid, lagrange_stencil
from optimizer.scan.choices import pitch_limits
from optimizer.scan.plate_shares import PlateShares

DEPTH = 5.0  # orders whose field has died away by e^−DEPTH at the air gap are never looked at
ENERGY = 1e-4  # share of the mean square field that the orders left out may hold
BESIDE = 0.05  # how far the radii reach beyond bore and rim, as shares of these: a search may stray so far
ASTRAY, LOWEST = 1e-3, 0.02  # the same of the most height, for steps beyond it, and its share that is the least height
AT_A_TIME = 12  # orders
PRECISION = 1e3  # of the interpolation over heights
KEPT, SIGHTS = 40e6, 8  # bytes of tables, and kinds of magnet, kept at a time

ANY_WIRE = Wire(diameter=1e-3)  # fields do not know it

Parts = tuple[tuple[float, float], ...]
WHOLE: Parts = ((0.0, 1.0),)
INTERLEAVED: Parts = ((0.0, 1 / 6), (5 / 6, 1.0))


@dataclass(frozen=True, slots=True)
class FieldTable:
    """Pole harmonics of a ring of magnets, T: values (P, H, K, R) at even pitch radii and heights, odd orders, radii.

    orders (K,) of the pole pairs; pitch_radii (P,), radii (R,): m. heights: least and greatest of all bundles on one
    side together, m, between which the table has Chebyshev nodes. All as the brief's steel plates leave them.
    """

    orders: Real
    pitch_radii: Real
    radii: Real
    heights: tuple[float, float]
    values: Real

    def means(self, pitch_radius: ArrayLike, height: ArrayLike) -> Real:
        """Harmonics (M, K, R) at pitch radii (M,) and heights (M,) in pairs, m, averaged over each height."""
        first, stencil = lagrange_stencil(self.pitch_radii, np.asarray(pitch_radius, float))
        along = self._basis(np.asarray(height, float))
        columns = np.arange(POINTS)
        found = np.empty((first.size, *self.values.shape[2:]))
        for at in sorted(set(first.tolist())):
            who = first == at
            weights = (stencil[:, who].T[:, :, None] * along[who][:, None, :]).reshape(np.count_nonzero(who), -1)
            rows = self.values[at + columns].reshape(weights.shape[1], -1)
            found[who] = (weights @ rows).reshape(-1, *found.shape[1:])
        return found

    def on_grid(self, pitch_radii: Real, heights: Real, energy: float) -> tuple[Real, Real]:
        """Orders (K′,) and harmonics (K′, R, P′, H′) at every pitch radius with every height, m.

        energy: share of the mean square field that the orders left out may hold.
        """
        first, stencil = lagrange_stencil(self.pitch_radii, pitch_radii)
        across = np.zeros((pitch_radii.size, self.pitch_radii.size))
        across[np.arange(pitch_radii.size), first + np.arange(POINTS)[:, None]] = stencil
        found = np.einsum("ap,phkr,bh->krab", across, self.values, self._basis(heights), optimize=True)
        kept = strong(np.sqrt(np.mean(found**2, axis=3)).max(axis=(1, 2)), energy)
        return self.orders[kept], np.ascontiguousarray(found[kept])

    def _basis(self, heights: Real) -> Real:
        low, high = self.heights
        return chebyshev_basis(self.values.shape[1], (2 * heights - low - high) / (high - low))


def strong(size: Real, energy: float) -> Whole:
    """Indices, ascending, of all but the weakest of `size` (K,), which hold at most `energy` of its square sum."""
    weakest = np.argsort(size, kind="stable")
    held = np.cumsum(size[weakest] ** 2)
    return np.sort(weakest[held > energy * held[-1]])


@dataclass(frozen=True, slots=True)
class FieldTables:
    """Tables of one brief, made when first asked for and kept while there is room; threads may share them."""

    brief: Brief
    _kept: dict[tuple[Magnet, int, int], FieldTable] = field(default_factory=dict[tuple[Magnet, int, int], FieldTable])
    _sights: dict[tuple[Magnet, int], _Sight] = field(default_factory=dict[tuple[Magnet, int], "_Sight"])
    _lock: Lock = field(default_factory=Lock)

    def of(self, magnet: Magnet, count: int, stacked: int = 1) -> FieldTable:
        """Of a number of magnets; stacked: bundles one above the other, of which the first phase's are meant."""
        key = magnet, count, stacked
        table = self._kept.get(key)
        if table is None:
            table = self._sight(magnet, stacked).table(count)
            with self._lock:
                while self._kept and sum(each.values.nbytes for each in self._kept.values()) > KEPT:
                    self._kept.pop(next(iter(self._kept)))
                self._kept[key] = table
        return table

    def _sight(self, magnet: Magnet, stacked: int) -> _Sight:
        key = magnet, stacked
        with self._lock:
            if key not in self._sights:
                while len(self._sights) >= SIGHTS:
                    self._sights.pop(next(iter(self._sights)))
                self._sights[key] = _Sight.of(self.brief, magnet, WHOLE if stacked == 1 else INTERLEAVED)
            return self._sights[key]


def tables_of(brief: Brief) -> FieldTables:
    """The tables of a brief, shared by all briefs whose magnets have the same field."""
    return _tables(
        replace(
            brief, title="", speed_rpm=1.0, magnets=brief.magnets[:1], wires=(ANY_WIRE,), length=1.0,
            least_layers=1, resistance=None, fill_factor=0.5, peg_radius=1e-3, topologies=("wedge",), goal="emf_rms",
            bed=None, prices=None, phases=(1,), target=None, spools=(),
        )
    )  # fmt: skip


@lru_cache(maxsize=2)
def _tables(brief: Brief) -> FieldTables:
    return FieldTables(brief)


@dataclass(frozen=True, slots=True)
class _Sight:
    """How the coils see one kind of magnet, whatever its number.

    potential: of circles at the distances' nodes; weights (Z, H) or, with steel plates, (Z, 2 H): without them and of
    plates that carry all the flux. heights (H,), m, of all bundles on one side together.
    """

    brief: Brief
    magnet: Magnet
    potential: RingPotential
    weights: Real
    heights: Real
    limits: tuple[float, float]

    @classmethod
    def of(cls, brief: Brief, magnet: Magnet, parts: Parts) -> _Sight:
        gap, high = brief.air_gap, brief.coil_height * (1 + ASTRAY)
        low = high * LOWEST
        heights = (low + high) / 2 + (high - low) / 2 * chebyshev(_nodes(gap + low, high - low))
        space = brief.space
        radii = even_grid(space.bore_radius * (1 - BESIDE), space.outer_radius * (1 + BESIDE), gap / 2)
        strengths = (0.0, 1.0) if brief.plate else (0.0,)
        levels = [
            [(w, abs(gap + t * h - level)) for level, charge in _faces(brief, magnet, h, images)
             for w, t in _weighted(parts, charge, h)]
            for images in strengths for h in heights.tolist()
        ]  # fmt: skip
        nearest, farthest = (extreme(z for row in levels for _, z in row) for extreme in (min, max))
        span = log(nearest * (1 - 1e-9)), log(farthest * (1 + 1e-9))
        size = 8 + ceil(5 * (span[1] - span[0]))
        distances = np.exp(sum(span) / 2 + (span[1] - span[0]) / 2 * chebyshev(size))
        columns = [_column(row, size, span) for row in levels]
        return cls(brief, magnet, RingPotential.of(radii, distances), np.array(columns).T, heights, (low, high))

    def table(self, count: int) -> FieldTable:
        """The table of a number of magnets."""
        low, high = pitch_limits(self.brief, self.magnet)
        low = max(low, min(self.magnet.closest_pitch_radius(count, self.brief.space.wall), high))
        beside = self.brief.air_gap / 10
        pitches = even_grid(low - beside, high + beside, 0.6 * self.brief.air_gap)
        orders, values = self._strong_orders(count, pitches)
        if self.brief.plate:
            values = self._as_plates_leave(count, pitches, values)
        return FieldTable(orders, pitches, self.potential.radii, self.limits, np.ascontiguousarray(values))

    def _strong_orders(self, count: int, pitches: Real) -> tuple[Real, Real]:
        """Odd orders (K,) from the first on until nothing is left to come, and the harmonics (P, H, K, R)."""
        highest = max(int(DEPTH * self.brief.space.outer_radius / self.brief.air_gap / (count / 2)), 7)
        orders = np.arange(1, highest + 1, 2, dtype=float)
        half_angle = max(float(self.magnet.covers(pitches[0], np.array(pitches[0]))[1]), 1e-3)
        seen = max(ceil(pi / half_angle / count), 2)  # orders in which a face's zeros hide none of its strength
        values, sizes = list[Real](), list[float]()
        for order, row in self._face_rows(orders, count, pitches):
            circles = self.potential.differences(int(order) * (count // 2), self.weights)
            values.append(count * np.moveaxis(circles @ row.T, 2, 0))
            sizes.append(float(np.sqrt(np.mean(values[-1] ** 2, axis=1).max())))
            if len(sizes) > seen and sum(s * s for s in sizes[-seen:]) < ENERGY / 4 * sum(s * s for s in sizes):
                break
        kept = strong(np.array(sizes), ENERGY)
        found = np.empty((*values[0].shape[:2], kept.size, values[0].shape[2]))
        for at, order in enumerate(kept.tolist()):  # each let go as it is copied: together they are large
            found[:, :, at], values[order] = values[order], values[0][:0]
        return orders[kept], found

    def _face_rows(self, orders: Real, count: int, pitches: Real) -> Iterator[tuple[float, Real]]:
        """Each order (K,) with its weights (P, R) of a face, a few at a time: the last ones are seldom asked for."""
        for low in range(0, orders.size, AT_A_TIME):
            some = orders[low : low + AT_A_TIME]
            rows = face_rows(self.magnet, pitches, self.potential.radii, some * (count // 2))
            yield from zip(some.tolist(), rows, strict=True)

    def _as_plates_leave(self, count: int, pitches: Real, values: Real) -> Real:
        alone, whole = np.split(values, 2, axis=1)
        share = PlateShares.of(self.brief, self.magnet, count)(pitches, self.heights)
        return alone + share[:, :, None, None] * (whole - alone)


def _faces(brief: Brief, magnet: Magnet, height: float, images: float) -> Faces:
    """The charged faces that a winding `height` (m) high sees, plates carrying all the flux or none."""
    clear, reach = 2 * brief.air_gap + height, 3.15 * brief.space.outer_radius
    stack = magnet_stack(magnet, brief.arrangement, images=images, clear=clear, reach=reach)
    return charged_faces(stack, magnet.thickness)


def _weighted(parts: Parts, charge: float, height: float) -> list[tuple[float, float]]:
    """The mean field over parts of a height (m) as a sum of potentials: weights, and where as shares of the height."""
    total = sum(high - low for low, high in parts) * height
    return [(sign * charge / total, at) for low, high in parts for sign, at in ((1, low), (-1, high))]


def _column(row: list[tuple[float, float]], size: int, span: tuple[float, float]) -> Real:
    """Weights (Z,) on the nodes over the distances' logarithms that give a sum of potentials at distances, m."""
    weights, distances = np.array(row).T
    return weights @ chebyshev_basis(size, (2 * np.log(distances) - sum(span)) / (span[1] - span[0]))


def _nodes(away: float, height: float) -> int:
    """Chebyshev nodes over a height, m, for a field that is singular `away` (m) below it."""
    ratio = 1 + 2 * away / height
    return int(np.clip(ceil(log(PRECISION) / log(ratio + sqrt(ratio**2 - 1))), 3, 10))
