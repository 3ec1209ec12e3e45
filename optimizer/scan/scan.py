"""The exhaustive scan: every point of the grid with its EMF, resistance, wire length and fit.

The field does not know the wire and EMF is linear in turns, so turns and wire are settled once per winding
(`wiring`) and multiply the mean square EMF of one turn (`kernel`) for every magnet and pitch radius.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Real
from geometry.fit.rules import SLACK, carrier_clearances
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet
from optimizer.brief.goal import GOALS
from optimizer.jobs.chunks import one_thread
from optimizer.scan.choices import Dimensions, Family, Grid, families_of, magnet_counts, scan_grid
from optimizer.scan.field_tables import FieldTable, field_table
from optimizer.scan.kernel import Windings, grid_windings
from optimizer.scan.wiring import Wiring, wiring_of


@dataclass(frozen=True, slots=True)
class Seed:
    """The best grid point of a family at one pitch radius: where it is, its wire and turns, and the goal's value."""

    family: Family
    dimensions: Dimensions
    wire: Wire
    turns: int
    value: float


@dataclass(frozen=True, slots=True)
class Scan:
    """All seeds, best first, and how many layouts were considered for them."""

    seeds: tuple[Seed, ...]
    considered: int


Counted: TypeAlias = tuple[list[Seed], int]
"""Seeds of one magnet count, and the number of layouts considered."""


def scan(brief: Brief, progress: Callable[[float], None] = lambda _: None) -> Scan:
    """Scan every family of the brief; `progress` is called with the share done."""
    return scan_each([brief], progress)[0]


@one_thread
def scan_each(briefs: Sequence[Brief], progress: Callable[[float], None] = lambda _: None) -> list[Scan]:
    """Scan for several briefs at once that differ in goal, wire length and resistance alone."""
    brief, found = briefs[0], list[list[Counted]]()
    total = sum(len(magnet_counts(brief, stock)) for stock in brief.magnets)
    for stock in brief.magnets:
        counts = magnet_counts(brief, stock)
        if not counts:
            continue
        grid = scan_grid(brief, stock)
        table = field_table(brief, stock.magnet, grid)
        for count in counts:
            found.append(scan_count_each(briefs, stock, count, grid, table))
            progress(len(found) / total)
    return [_joined([counted[at] for counted in found]) for at in range(len(briefs))]


def _joined(found: Sequence[Counted]) -> Scan:
    seeds = [seed for some, _ in found for seed in some]
    return Scan(
        tuple(sorted(seeds, key=lambda seed: -seed.value)), sum(considered for _, considered in found)
    )


def scan_count(brief: Brief, stock: StockMagnet, count: int, grid: Grid, table: FieldTable) -> Counted:
    """Seeds for one count, one per coil shape and pitch radius that fit, and the number of layouts considered."""
    return scan_count_each([brief], stock, count, grid, table)[0]


def scan_count_each(
    briefs: Sequence[Brief], stock: StockMagnet, count: int, grid: Grid, table: FieldTable
) -> list[Counted]:
    """`scan_count` for several briefs at once that differ in goal, wire length and resistance alone."""
    brief, found = briefs[0], [_Found() for _ in briefs]
    clearances = carrier_clearances(brief.space, stock.magnet, count, grid.pitch_radii)
    at = np.flatnonzero(np.all([clearance >= -SLACK for clearance in clearances.values()], axis=0))
    if not at.size:
        return [([], 0) for _ in briefs]
    fields = {
        stacked: table.mean_harmonics(count, at, stacked) for stacked in _stackings(brief, stock, count)
    }
    for family in families_of(brief, stock.magnet, count):
        windings = grid_windings(brief, family.topology, family.sectors, grid, table.radii)
        wirings = [wiring_of(each, family, windings, grid.heights / family.stacked) for each in briefs]
        worth = [number for number, wiring in enumerate(wirings) if wiring.merit.any()]
        if not worth:
            continue
        orders, means = fields[family.stacked]
        linked = means * family.distribution(orders)[:, None, None, None]
        points = [_BestPoint(briefs[n], family, grid, windings, wirings[n]) for n in worth]
        for radius, squares in zip(
            grid.pitch_radii[at].tolist(), windings.squares(orders * (count // 2), linked), strict=True
        ):
            for number, point in zip(worth, points, strict=True):
                own = squares if point is points[-1] else squares.copy()
                found[number].seeds.append(point.seed(radius, own))
        looked_at = at.size * grid.heights.size * _pairs(windings)
        for number in worth:
            found[number].considered += looked_at
    return [(each.seeds, each.considered) for each in found]


@dataclass(slots=True)
class _Found:
    seeds: list[Seed] = field(default_factory=list[Seed])
    considered: int = 0


def _stackings(brief: Brief, stock: StockMagnet, count: int) -> set[int]:
    return {family.stacked for family in families_of(brief, stock.magnet, count)}


def _pairs(windings: Windings) -> int:
    """Windings of the grid that are windings at all: the outer edge outside the inner one, the rim outside the hole."""
    return int(np.count_nonzero(np.broadcast_to(windings.exists, windings.fits.shape)))


@dataclass(frozen=True, slots=True)
class _BestPoint:
    brief: Brief
    family: Family
    grid: Grid
    windings: Windings
    wiring: Wiring

    def seed(self, pitch_radius: float, squares: Real) -> Seed:
        """The best winding at one pitch radius, from Σ_k I_k² (H, F); uses `squares` up."""
        wiring, family = self.wiring, self.family
        value = np.multiply(squares, wiring.merit, out=squares)
        best = tuple(int(i) for i in np.unravel_index(int(np.argmax(value)), value.shape))
        inner, outer, width = self.windings.sizes(best[1:])
        height = float(self.grid.heights[best[0]]) / family.stacked
        dimensions = Dimensions(pitch_radius, inner, outer, width, height)
        scale = (rad_s_of(self.brief.speed_rpm) * family.half_turns) ** 2 / 2
        reached = float(GOALS[self.brief.goal].from_square(value[best] * scale))
        wire = self.brief.wires[int(wiring.wire[best])]
        return Seed(family, dimensions, wire, int(wiring.turns[best]), reached)
