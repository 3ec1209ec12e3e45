"""The exhaustive scan: every point of the grid with its EMF, resistance, wire length and fit.

The field does not know the wire and EMF is linear in turns, so turns and wire are chosen once per winding
(`wiring`) and multiply the mean square EMF of one turn (`kernel`) for every magnet and pitch radius. It is done in
units, one per kind of magnet and number of magnets, on any executor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from geometry.coils.topology import Topology
from geometry.curves.curve import Real
from geometry.fit.rules import SLACK, carrier_clearances
from geometry.machine.speed import rad_s_of
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.jobs.chunks import HERE, Run, one_thread, run_units
from optimizer.scan.choices import Candidate, Dimensions, Family, Grid, families_of, magnet_counts, scan_grid
from optimizer.scan.field_tables import tables_of
from optimizer.scan.kernel import Windings, grid_windings
from optimizer.scan.wiring import Wiring, wiring_of

WINDINGS = 3  # grids of windings that are kept: the coil shapes of one number of magnets
ENERGY = 3e-4  # share of the mean square field that the orders left out of a scan may hold


@dataclass(frozen=True, slots=True)
class Scan:
    """The best grid point of each family at each pitch radius, best first, and how many layouts were considered."""

    starts: tuple[Candidate, ...]
    considered: int


@dataclass(frozen=True, slots=True)
class ScanUnit:
    """One unit: entry of the brief's stock, from 0, and how many of its magnets."""

    brief: Brief
    stock: int
    count: int


def scan(brief: Brief, run: Run = HERE, only: int | None = None) -> Scan:
    """Scan every family of the brief; the same to the bit however `run` divides it.

    only: the only magnet count that is scanned, or None.
    Memory is one unit's grid and the starts, one per family and pitch radius, whatever the number of layouts.
    """
    return _joined(run_units(scan_unit, scan_units(brief, only), run))


@one_thread
def scan_each(briefs: Sequence[Brief]) -> list[Scan]:
    """Scan for several briefs at once that differ in goal, wire length and resistance alone."""
    of_units = [scan_count(briefs, unit.stock, unit.count) for unit in scan_units(briefs[0])]
    return [_joined([each[at] for each in of_units]) for at in range(len(briefs))]


def scan_units(brief: Brief, only: int | None = None) -> list[ScanUnit]:
    """All units of a brief, count by count, so that kinds share what they can; of `only` that one, when it is given."""
    counts = [(count, entry) for entry, stock in enumerate(brief.magnets) for count in magnet_counts(brief, stock)]
    return [ScanUnit(brief, entry, count) for count, entry in sorted(counts) if only in (None, count)]


def counts_of(brief: Brief) -> list[int]:
    """The numbers of magnets that any kind in a brief allows, ascending."""
    return sorted({count for stock in brief.magnets for count in magnet_counts(brief, stock)})


def scan_unit(unit: ScanUnit) -> Scan:
    """The scan of one unit."""
    return scan_count([unit.brief], unit.stock, unit.count)[0]


def _joined(scans: Sequence[Scan]) -> Scan:
    starts = sorted((start for each in scans for start in each.starts), key=lambda start: -start.value)
    return Scan(tuple(starts), sum(each.considered for each in scans))


def scan_count(
    briefs: Sequence[Brief], entry: int, count: int, pitch_radii: Sequence[float] | None = None
) -> list[Scan]:
    """One number of magnets of an entry of the stock, from 0, for each of the briefs (see `scan_each`).

    pitch_radii: in m, in place of the grid's.
    """
    stock, grid = briefs[0].magnets[entry], scan_grid(briefs[0], briefs[0].magnets[entry])
    pitches = grid.pitch_radii if pitch_radii is None else np.array(pitch_radii)
    clearances = carrier_clearances(briefs[0].space, stock.magnet, count, pitches)
    pitches = pitches[np.all([each >= -SLACK for each in clearances.values()], axis=0)]
    families = families_of(briefs[0], stock.magnet, count) if pitches.size else ()
    scans = [_of_family(briefs, family, grid, pitches) for family in families]
    return [_joined([each[at] for each in scans]) for at in range(len(briefs))]


def _of_family(briefs: Sequence[Brief], family: Family, grid: Grid, pitches: Real) -> list[Scan]:
    """The best of one family at each pitch radius for every brief."""
    brief = briefs[0]
    table = tables_of(brief).of(family.magnet, family.count, family.stacked)
    windings = _windings(_without_magnets(brief), family.topology, family.sectors, tuple(table.radii.tolist()))
    points = [_BestPoint(each, family, grid, windings, wiring_of(each, family, windings, grid)) for each in briefs]
    worth = [point.wiring.merit.any() for point in points]
    starts: list[list[Candidate]] = [[] for _ in briefs]
    if any(worth):
        orders, means = table.on_grid(pitches, grid.heights, ENERGY)
        linked = means * family.distribution(orders)[:, None, None, None]
        squares = windings.squares(orders * (family.count // 2), linked)
        for radius, square in zip(pitches.tolist(), squares, strict=True):
            for number, point in enumerate(points):
                starts[number] += [point.at(radius, square)] if worth[number] else []
    considered = pitches.size * grid.heights.size * windings.number
    return [Scan(tuple(each), considered if each else 0) for each in starts]


def _without_magnets(brief: Brief) -> Brief:
    """The brief as far as its grid's windings know it."""
    return replace(
        brief, title="", speed_rpm=1.0, magnets=brief.magnets[:1], length=1.0, resistance=None, fill_factor=0.5,
        topologies=("wedge",), goal="emf_rms", bed=None, prices=None, phases=(1,), target=None,
        spools=(),
    )  # fmt: skip


@lru_cache(maxsize=WINDINGS)
def _windings(brief: Brief, topology: Topology, sectors: int, radii: tuple[float, ...]) -> Windings:
    """The grid's windings, which know no magnet, for all kinds of which there are as many; radii: the field's, m."""
    return grid_windings(brief, topology, sectors, scan_grid(brief, brief.magnets[0]), np.array(radii))


@dataclass(frozen=True, slots=True)
class _BestPoint:
    brief: Brief
    family: Family
    grid: Grid
    windings: Windings
    wiring: Wiring

    def at(self, pitch_radius: float, squares: Real) -> Candidate:
        """The best winding at one pitch radius, from Σ_k I_k² (H, F)."""
        wiring, family = self.wiring, self.family
        value = squares * wiring.merit
        best = tuple(int(i) for i in np.unravel_index(int(np.argmax(value)), value.shape))
        inner, outer, width = self.windings.sizes(best[1:])
        height = float(self.grid.heights[best[0]]) / family.stacked
        dimensions = Dimensions(pitch_radius, inner, outer, width, height, self.brief.peg_radius)
        scale = (rad_s_of(self.brief.speed_rpm) * family.half_turns) ** 2 / 2
        reached = float(GOALS[self.brief.goal].from_square(value[best] * scale))
        wire = self.brief.wires[int(wiring.wire[best])]
        return Candidate(family, dimensions, wire, int(wiring.turns[best]), reached)
