"""The Pareto front of a brief: volts against resistance, magnet mass or wire; no layout found is better in both.

How it is found. For resistance and wire by the ε-constraint method: the brief's limit is tightened in even steps from
what the best layout has, and each limit gets a full search, so every point is the best layout of all that keep to its
limit. Magnet mass takes steps of its own: one scan, and every magnet with every count is refined.
What another point beats in both is then left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from optimizer.brief.brief import Brief
from optimizer.evaluation.chain import Figures, significant
from optimizer.jobs.chunks import HERE, Run, run_units
from optimizer.scan.choices import Candidate
from optimizer.scan.scan import scan
from optimizer.search.feasibility import NothingFits, explain
from optimizer.search.refine import best_of
from optimizer.search.result import Entry
from optimizer.search.search import winner
from optimizer.surveys.sweeps import alike, flat_figures


@dataclass(frozen=True, slots=True)
class Price:
    """What volts are weighed against: the figure's name, its words, its unit."""

    figure: str
    label: str
    unit: str

    def of(self, figures: Figures) -> float:
        """The figure as it is printed, in `unit`."""
        return float(significant(getattr(figures, self.figure)))


PRICES = {
    "resistance": Price("resistance_ohm", "Resistance", "Ω"),
    "magnet_mass": Price("magnet_mass_g", "Magnet mass", "g"),
    "wire": Price("wire_length_m", "Wire", "m"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """A front. against: a key of `PRICES`; entries: cheapest first, volts ascending; dominated: found, but beaten."""

    brief: Brief
    against: str
    entries: tuple[Entry, ...]
    dominated: tuple[Entry, ...]

    def rows(self) -> list[dict[str, object]]:
        """A tidy table: one flat dictionary for each layout of the front."""
        return alike(flat_figures(entry) for entry in self.entries)


def pareto_front(brief: Brief, against: str, points: int = 16, run: Run = HERE) -> Front:
    """The front of a brief, whatever its goal; `points` searches for resistance and wire.

    against: "resistance", "magnet_mass" or "wire". points: at least 2. Raises ValueError outside these, NothingFits.
    """
    if against not in PRICES:
        raise ValueError(f"against must be one of {', '.join(PRICES)}, was {against}")
    if points < 2:
        raise ValueError(f"points must be at least 2, was {points}")
    wanted = replace(brief, goal="emf_rms")
    found = _by_magnets(wanted, run) if against == "magnet_mass" else _by_limit(wanted, against, points, run)
    price = PRICES[against]
    values = np.array([(price.of(entry.figures), entry.figures.emf_rms_V) for entry in found])
    kept = set(non_dominated(values))
    ordered = sorted(kept, key=lambda index: float(values[index, 0]))
    beaten = tuple(entry for index, entry in enumerate(found) if index not in kept)
    return Front(
        brief=brief, against=against, entries=tuple(found[index] for index in ordered), dominated=beaten
    )


def non_dominated(points: Sequence[Sequence[float]] | np.ndarray) -> list[int]:
    """Indices, ascending, of points (cost, gain) that no other beats: none costs less and gains as much, or more.

    Of equal points the first is kept.
    """
    order = sorted(range(len(points)), key=lambda index: (points[index][0], -points[index][1], index))
    kept: list[int] = []
    maximum = -np.inf
    for index in order:
        if points[index][1] > maximum:
            kept.append(index)
            maximum = points[index][1]
    return sorted(kept)


def _by_limit(brief: Brief, against: str, points: int, run: Run) -> list[Entry]:
    best, _ = winner(brief)
    highest = PRICES[against].of(best.figures)
    limits = highest * np.arange(1, points) / points
    briefs = [
        replace(brief, resistance=limit) if against == "resistance" else brief.within_length(limit)
        for limit in limits.tolist()
    ]
    return [*(entry for entry in run_units(limited_best, briefs, run) if entry), best]


def limited_best(brief: Brief) -> Entry | None:
    """The best layout under one limit, or None when nothing keeps to it."""
    try:
        return winner(brief)[0]
    except NothingFits:
        return None


@dataclass(frozen=True, slots=True)
class MagnetStarts:
    """Starts with one magnet and count, best first, within a brief."""

    brief: Brief
    starts: tuple[Candidate, ...]


def _by_magnets(brief: Brief, run: Run) -> list[Entry]:
    groups: dict[object, list[Candidate]] = {}
    for start in scan(brief, replace(run, journal=None)).starts:
        groups.setdefault((start.family.magnet, start.family.count), []).append(start)
    if not groups:
        raise NothingFits(explain(brief))
    units = [MagnetStarts(brief, tuple(starts)) for starts in groups.values()]
    return [entry for entry in run_units(refined_best, units, run) if entry]


def refined_best(unit: MagnetStarts) -> Entry | None:
    """The best layout that a group of starts leads to."""
    return best_of(unit.brief, unit.starts)
