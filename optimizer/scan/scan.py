"""The exhaustive scan: every point of the grid with its EMF, resistance, wire length and fit.

The field does not know the wire and EMF is linear in turns, so turns and wire are settled once per winding
(`wiring`) and multiply the mean square EMF of one turn (`kernel`) for every magnet and pitch radius. It is done in
units, one per kind of magnet and number of magnets, on any executor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Real
from geometry.fit.rules import SLACK, carrier_clearances
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.jobs.chunks import HERE, Run, one_thread, run_units
from optimizer.scan.choices import Dimensions, Family, Grid, families_of, magnet_counts, scan_grid
from optimizer.scan.field_tables import tables_of
from optimizer.scan.kernel import Windings, grid_windings
from optimizer.scan.wiring import Wiring, wiring_of

ENERGY = 3e-4  # share of the mean square field that the orders left out of a scan may hold


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


@dataclass(frozen=True, slots=True)
class ScanUnit:
    """One unit: entry of the brief's stock, from 0, and how many of its magnets."""

    brief: Brief
    stock: int
    count: int


@dataclass(frozen=True, slots=True)
class UnitSeeds:
    """What one unit found: its seeds, and how many layouts were considered."""

    seeds: tuple[Seed, ...]
    considered: int


def scan(brief: Brief, run: Run = HERE, only: int | None = None) -> Scan:
    """Scan every family of the brief; the same to the bit however `run` divides it.

    only: the only magnet count that is scanned, or None.
    Memory is one unit's grid and the seeds, one per family and pitch radius, whatever the number of layouts.
    """
    return _joined(run_units(scan_unit, scan_units(brief, only), run))


@one_thread
def scan_each(briefs: Sequence[Brief]) -> list[Scan]:
    """Scan for several briefs at once that differ in goal, wire length and resistance alone."""
    found = [scan_count(briefs, unit.stock, unit.count) for unit in scan_units(briefs[0])]
    return [_joined([each[at] for each in found]) for at in range(len(briefs))]


def scan_units(brief: Brief, only: int | None = None) -> list[ScanUnit]:
    """All units of a brief, kind by kind; of `only` that magnet count, when it is given."""
    return [
        ScanUnit(brief, entry, count)
        for entry, stock in enumerate(brief.magnets)
        for count in magnet_counts(brief, stock)
        if only in (None, count)
    ]


def scan_unit(unit: ScanUnit) -> UnitSeeds:
    """The seeds of one unit."""
    return scan_count([unit.brief], unit.stock, unit.count)[0]


def _joined(found: Sequence[UnitSeeds]) -> Scan:
    seeds = [seed for each in found for seed in each.seeds]
    return Scan(
        tuple(sorted(seeds, key=lambda seed: -seed.value)), sum(each.considered for each in found)
    )


def scan_count(
    briefs: Sequence[Brief], entry: int, count: int, pitch_radii: Sequence[float] | None = None
) -> tuple[UnitSeeds, ...]:
    """Seeds for one number of magnets of an entry of the stock, from 0, for each of the briefs (see `scan_each`).

    One seed for each coil shape and pitch radius that fit. pitch_radii: in m, in place of the grid's.
    """
    stock, grid = briefs[0].magnets[entry], scan_grid(briefs[0], briefs[0].magnets[entry])
    pitches = grid.pitch_radii if pitch_radii is None else np.array(pitch_radii)
    clearances = carrier_clearances(briefs[0].space, stock.magnet, count, pitches)
    pitches = pitches[np.all([each >= -SLACK for each in clearances.values()], axis=0)]
    families = families_of(briefs[0], stock.magnet, count) if pitches.size else ()
    found = [_of_family(briefs, family, grid, pitches) for family in families]
    return tuple(
        UnitSeeds(
            tuple(seed for each in found for seed in each[at].seeds), sum(each[at].considered for each in found)
        )
        for at in range(len(briefs))
    )


def _of_family(briefs: Sequence[Brief], family: Family, grid: Grid, pitches: Real) -> tuple[UnitSeeds, ...]:
    """The best of one family at each pitch radius for every brief."""
    brief, nothing = briefs[0], UnitSeeds((), 0)
    table = tables_of(brief).of(family.magnet, family.count, family.stacked)
    windings = grid_windings(brief, family.topology, family.sectors, grid, table.radii)
    wirings = [wiring_of(each, family, windings, grid.heights / family.stacked) for each in briefs]
    worth = [number for number, wiring in enumerate(wirings) if wiring.merit.any()]
    if not worth:
        return tuple(nothing for _ in briefs)
    orders, means = table.on_grid(pitches, grid.heights, ENERGY)
    linked = means * family.distribution(orders)[:, None, None, None]
    points = {n: _BestPoint(briefs[n], family, grid, windings, wirings[n]) for n in worth}
    seeds: dict[int, list[Seed]] = {n: [] for n in worth}
    squares = windings.squares(orders * (family.count // 2), linked)
    for radius, square in zip(pitches.tolist(), squares, strict=True):
        for number, point in points.items():
            seeds[number].append(point.seed(radius, square))
    considered = pitches.size * grid.heights.size * _pairs(windings)
    return tuple(
        UnitSeeds(tuple(seeds[n]), considered) if n in seeds else nothing for n in range(len(briefs))
    )


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
        """The best winding at one pitch radius, from Σ_k I_k² (H, F)."""
        wiring, family = self.wiring, self.family
        value = squares * wiring.merit
        best = tuple(int(i) for i in np.unravel_index(int(np.argmax(value)), value.shape))
        inner, outer, width = self.windings.sizes(best[1:])
        height = float(self.grid.heights[best[0]]) / family.stacked
        dimensions = Dimensions(pitch_radius, inner, outer, width, height)
        scale = (rad_s_of(self.brief.speed_rpm) * family.half_turns) ** 2 / 2
        reached = float(GOALS[self.brief.goal].from_square(value[best] * scale))
        wire = self.brief.wires[int(wiring.wire[best])]
        return Seed(family, dimensions, wire, int(wiring.turns[best]), reached)
