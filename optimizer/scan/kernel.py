"""The scan's inner loops: mean square EMF of one turn for every winding of the grid, in plain numpy.

Most shapes reduce to sums of two tables, so that a pair of radii costs one addition and one product per order. Where
a shape's ends know nothing of each other, a half turn splits at a fixed radius into an outer part that knows only the
outer radius and an inner part that knows only the inner one. A circular bundle is all turns up to its rim less all
turns up to its hole. Of any other shape each winding that fits is integrated by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from geometry.coils.bundle import Envelope
from geometry.coils.topology import CornerRule, Ring, Topology
from geometry.curves.curve import Line, Real, Truth
from geometry.fit.rules import SLACK, winding_clearances
from geometry.machine.layout import Space
from optimizer.brief.brief import Brief
from optimizer.field.linkage import bundle_functional, node_counts
from optimizer.numerics.quadrature import gauss
from optimizer.scan.choices import Grid

OFFSETS = 3  # Gauss nodes across a legged bundle
ORDERS = 8  # that are looked at together
KEPT = 8e6  # bytes of rows of one coil shape's ends
CENTERS, RIMS = 29, 26  # points of the round coils' grid

Tables = tuple[Real, Real]
Linker = Callable[[Real, Real], Tables]
Squares = Callable[[Real, Real], Iterator[Real]]
Rows = Callable[[Real], Real]


@dataclass(frozen=True, slots=True)
class Windings:
    """All windings of one coil shape on the grid; F are its three axes (W, I, O; of a circular coil C, hole, rim).

    envelope: arrays that broadcast to F. fits: (F) bool. exists: which are windings at all, broadcasts to F. squares:
    from poles (K,) and mean harmonics (K, R, P, H) to Σ_k I_k² for every winding, (H, F), one array per pitch radius;
    I_k is the linked integral of one turn, mean over the bundle.
    """

    topology: Topology
    envelope: Envelope
    fits: Truth
    exists: Truth
    squares: Squares

    @property
    def number(self) -> int:
        """Of those that exist: the outer edge outside the inner one, the rim outside the hole."""
        return int(np.count_nonzero(np.broadcast_to(self.exists, self.fits.shape)))

    def sizes(self, index: tuple[int, ...]) -> tuple[float, float, float]:
        """Inner radius, outer radius and width in m at an index into F."""
        axes = (self.envelope.inner_radius, self.envelope.outer_radius, self.envelope.width)
        inner, outer, width = (float(np.broadcast_to(axis, self.fits.shape)[index]) for axis in axes)
        return inner, outer, width


def grid_windings(brief: Brief, topology: Topology, count: int, grid: Grid, radii: Real) -> Windings:
    """Every winding of a coil shape on the grid, for `count` sectors; radii (R,), m, is the field's grid."""
    if topology.ring is not None:
        return _circular_windings(brief, topology, topology.ring, count, radii)
    return _radial_windings(brief, topology, count, grid, radii)


def _fits(space: Space, topology: Topology, envelope: Envelope) -> Truth:
    clearances = winding_clearances(space, topology, envelope)
    return np.all(np.broadcast_arrays(*(clearance >= -SLACK for clearance in clearances.values())), axis=0)


def _sum_of_squares(low: Real, high: Real) -> Real:
    """Σ_k (low[k, …, i] + high[k, …, o])² over (K, H, X, I) and (K, H, X, O), as (H, X, I, O)."""
    both = np.matmul(low.transpose(1, 2, 3, 0), 2 * high.transpose(1, 2, 0, 3))
    both += np.einsum("khxi,khxi->hxi", low, low)[..., :, None]
    both += np.einsum("khxo,khxo->hxo", high, high)[..., None, :]
    return both


def _summed(tables: Linker, scale: Real) -> Squares:
    """Squares from two tables (P, K, H, F[0], F[1]) and (…, F[0], F[2]) whose sum is √scale times what is linked.

    A few orders at a time, which keeps the tables small.
    """

    def squares(poles: Real, means: Real) -> Iterator[Real]:
        totals: list[Real] = []
        for low in range(0, poles.size, ORDERS):
            some = slice(low, low + ORDERS)
            parts = [_sum_of_squares(*pair) for pair in zip(*tables(poles[some], means[some]), strict=True)]
            totals = [np.add(*pair, out=pair[0]) for pair in zip(totals, parts, strict=True)] if totals else parts
        for total in totals:
            yield np.multiply(total, scale, out=total)

    return squares


def _radial_windings(brief: Brief, topology: Topology, count: int, grid: Grid, radii: Real) -> Windings:
    def envelope(width: Real, inner: Real, outer: Real) -> Envelope:
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=count, peg_radius=brief.peg_radius
        )  # fmt: skip

    width, near, far = grid.widths[:, None, None], grid.inner_radii[:, None], grid.outer_radii
    whole = envelope(width, near, far)
    fits, exists = _fits(brief.space, topology, whole), near < far
    if topology.corners is None:
        return Windings(topology, whole, fits, exists, _each(topology, whole, fits, radii))
    inner_rule, outer_rule = topology.corners
    here, there = np.asarray(fits.any(axis=2)), np.asarray(fits.any(axis=1))  # ends that fit with any other
    nowhere = np.array(0.0)
    inner = envelope(_of(here, width), _of(here, near), nowhere)
    outer = envelope(_of(there, width), nowhere, _of(there, far[:, None]))
    inward = _kept(lambda poles: _half_leg_rows(inner_rule, inner, radii, poles))
    outward = _kept(lambda poles: _half_leg_rows(outer_rule, outer, radii, poles))

    def tables(poles: Real, means: Real) -> Tables:
        return _apply(inward(poles), means, here), _apply(outward(poles), means, there)

    return Windings(topology, whole, fits, exists, _summed(tables, np.array(1.0)))


def _kept(rows: Rows) -> Rows:
    """Rows (K, E, R) for poles (K,), made once as far as there is room: several kinds of magnet ask for the same."""
    known: dict[float, Real] = {}

    def asked(poles: Real) -> Real:
        missing = [pole for pole in poles.tolist() if pole not in known]
        made = dict(zip(missing, rows(np.array(missing)), strict=True)) if missing else {}
        found = np.stack([made.get(pole, known.get(pole)) for pole in poles.tolist()])
        for pole, row in made.items():
            if (len(known) + 1) * row.nbytes <= KEPT:
                known[pole] = row.copy()
        return found

    return asked


def _each(topology: Topology, whole: Envelope, fits: Truth, radii: Real) -> Squares:
    """Squares of every winding that fits, integrated one by one; 0 for those that don't."""
    t, w = gauss(OFFSETS)

    def squares(poles: Real, means: Real) -> Iterator[Real]:
        inner, outer, width = (
            np.broadcast_to(axis, fits.shape)[fits][:, None]
            for axis in (whole.inner_radius, whole.outer_radius, whole.width)
        )
        fitting = replace(whole, inner_radius=inner, outer_radius=outer, width=width)
        stretches = topology.half_turn(fitting, (t - 0.5) * width)
        rows = bundle_functional(stretches, node_counts(stretches, radii), w, radii, poles)
        for at in range(means.shape[2]):
            total = np.zeros((means.shape[3], *fits.shape))
            total[:, fits] = np.sum((rows @ means[:, :, at]) ** 2, axis=0).T
            yield total

    return squares


def _half_leg_rows(rule: CornerRule, envelope: Envelope, radii: Real, poles: Real) -> Real:
    """Functionals (K, E, R) of the part of a half turn on one side of the middle radius, mean over the bundle."""
    t, w = gauss(OFFSETS)
    corner = rule(envelope, (t - 0.5) * np.asarray(envelope.width))
    leg = Line(corner.leg_point((radii[0] + radii[-1]) / 2), corner.tangent_point)
    share = w if corner.outer else -w
    return bundle_functional([leg, corner.fillet()], [8 + int(0.4 * radii.size), 6], share, radii, poles)


def _of(used: Truth, axis: Real) -> Real:
    """An axis of (W, X, 1) where a mask (W, X) says so, (E, 1)."""
    return np.broadcast_to(axis, (*used.shape, 1))[used]


def _apply(rows: Real, means: Real, used: Truth) -> Real:
    """Rows (K, E, R) on mean harmonics (K, R, P, H), as (P, K, H, W, X): 0 but where (W, X) is used."""
    orders, radii, pitches, heights = means.shape
    linked = (rows @ means.reshape(orders, radii, -1)).reshape(orders, -1, pitches, heights)
    found = np.zeros((pitches, orders, heights, *used.shape))
    found[..., used] = linked.transpose(2, 0, 3, 1)
    return found


def _circular_windings(brief: Brief, topology: Topology, ring: Ring, count: int, radii: Real) -> Windings:
    space, peg, sine = brief.space, brief.peg_radius, np.sin(np.pi / count)
    largest = max(
        min((space.outer_radius - space.bore_radius) / 2, space.outer_radius * sine / (1 + sine)), peg * 1.01
    )
    rims = np.linspace(peg, largest, RIMS)
    centers = np.linspace(space.bore_radius + peg, space.outer_radius - peg, CENTERS)
    center, hole, rim = centers[:, None, None], rims[:, None], rims
    width = np.maximum(rim - hole, 1e-12)
    envelope = Envelope(
        inner_radius=center - rim, outer_radius=center + rim, width=width, sectors=count, peg_radius=peg
    )  # fmt: skip

    rows = _kept(lambda poles: _turn_rows(ring, centers, rims, radii, poles))

    def tables(poles: Real, means: Real) -> Tables:
        panels = _apply(rows(poles), means, np.ones((CENTERS, RIMS - 1), dtype=bool))
        summed = np.zeros((*panels.shape[:-1], RIMS))
        np.cumsum(panels, axis=-1, out=summed[..., 1:])
        return -summed, summed

    exists = rim > hole
    fits = _fits(space, topology, envelope) & exists
    squares = _summed(tables, np.where(exists, width, np.inf) ** -2.0)
    return Windings(topology, envelope, fits, exists, squares)


def _turn_rows(ring: Ring, centers: Real, rims: Real, radii: Real, poles: Real) -> Real:
    """Functionals (K, C·(RIMS − 1), R) of the turns between neighbouring radii, times the radii's distance."""
    stretches = ring(centers[:, None, None], ((rims[1:] + rims[:-1]) / 2)[:, None])
    return bundle_functional(
        stretches, node_counts(stretches, radii), np.array([rims[1] - rims[0]]), radii, poles
    )
