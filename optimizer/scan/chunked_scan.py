"""The exhaustive scan in units, one per stock magnet and magnet count, for any executor; finds what `scan` finds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from optimizer.brief.brief import Brief
from optimizer.jobs.chunks import HERE, Run, run_units
from optimizer.scan.choices import Grid, magnet_counts, scan_grid
from optimizer.scan.field_tables import FieldTable, field_table
from optimizer.scan.scan import Scan, Seed, scan_count


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


def scan_units(brief: Brief, only: int | None = None) -> list[ScanUnit]:
    """All units of a brief, in the order of `scan`; of `only` that magnet count, when it is given."""
    return [
        ScanUnit(brief, entry, count)
        for entry, stock in enumerate(brief.magnets)
        for count in magnet_counts(brief, stock)
        if only in (None, count)
    ]


def scan_unit(unit: ScanUnit) -> UnitSeeds:
    """The seeds of one unit."""
    grid, table = _field(unit.brief, unit.stock)
    seeds, considered = scan_count(unit.brief, unit.brief.magnets[unit.stock], unit.count, grid, table)
    return UnitSeeds(tuple(seeds), considered)


@lru_cache(maxsize=1)
def _field(brief: Brief, stock: int) -> tuple[Grid, FieldTable]:
    grid = scan_grid(brief, brief.magnets[stock])
    return grid, field_table(brief, brief.magnets[stock].magnet, grid)


def scan_in_units(brief: Brief, run: Run = HERE, only: int | None = None) -> Scan:
    """`scan` of a brief, its units run as `run` says; the same to the bit however they were divided.

    only: the only magnet count that is scanned, or None.
    Memory is one unit's grid and the seeds, one per family and pitch radius, whatever the number of layouts.
    """
    return _joined(run_units(scan_unit, scan_units(brief, only), run))


def _joined(found: Iterable[UnitSeeds]) -> Scan:
    parts = list(found)
    seeds = [seed for part in parts for seed in part.seeds]
    return Scan(tuple(sorted(seeds, key=lambda seed: -seed.value)), sum(part.considered for part in parts))
