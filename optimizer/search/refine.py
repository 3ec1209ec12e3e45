"""From the scan's seeds to the best layout that can be built, and nothing else: no tables, no reasons.

Climb, the wires beside the seed's, settle, shapely: the steps of the whole search, and of those who need many winners.
The carrier may be held, so that coil shapes meet the same magnets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from geometry.curves.curve import Real
from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.jobs.chunks import one_thread
from optimizer.scan.choices import Family, layout_of
from optimizer.scan.scan import Seed
from optimizer.search.local_optimisation import Optimum, climb, settle
from optimizer.search.objective import Objective
from optimizer.search.result import Entry
from optimizer.search.turn_emf import TurnEmf

CONTENDER = 0.9  # of the best seed: worth climbing
FINALIST = 0.985  # of the best climb: worth settling
WIRES = 2  # of the best climbs with different wires, worth settling


@dataclass(frozen=True, slots=True)
class _HeldSlope(Objective):
    """A slope on which the pitch radius stands still, m."""

    pitch_radius: float

    def values(self, rows: Real) -> Real:
        return Objective.values(self, _with_pitch(rows, self.pitch_radius))

    def clearances(self, rows: Real) -> Real:
        return Objective.clearances(self, _with_pitch(rows, self.pitch_radius))


def _with_pitch(rows: Real, pitch_radius: float) -> Real:
    held = rows.copy()
    held[:, 0] = pitch_radius
    return held


@one_thread
def best_of(brief: Brief, seeds: Sequence[Seed], held: float | None = None) -> Entry | None:
    """The best layout that seeds lead to; None when none of them can be built.

    seeds: best first, of any families; of each family the first is taken. held: pitch radius in m that all keep.
    """
    first: dict[Family, Seed] = {}
    for seed in seeds:
        first.setdefault(seed.family, seed)
    return Finals(brief, held).best_of([*first.values()])


def unheard(entry: Entry) -> None:
    """Tell nobody."""
    del entry


@dataclass(frozen=True, slots=True)
class Finals:
    """Climbs and settled layouts, kept so that no family is climbed twice.

    held: pitch radius in m that all keep, or None. better: told of each layout that is better than all before it.
    """

    brief: Brief
    held: float | None = None
    better: Callable[[Entry], None] = unheard
    climbs: dict[Family, tuple[Objective, Optimum]] = field(default_factory=dict)
    ends: dict[Family, Entry | None] = field(default_factory=dict)
    heard: list[float] = field(default_factory=lambda: [0.0])

    def best_of(self, seeds: Sequence[Seed]) -> Entry | None:
        """The best layout that the families of these seeds (best first) lead to.

        The less worthy ones are followed, one after another, only when nothing comes of the others.
        """
        tops = [(seed, self._climb(seed)[1]) for seed in seeds if seed.value >= CONTENDER * seeds[0].value]
        maximum = max((optimum.value for _, optimum in tops), default=0.0)
        worthy = [seed for seed, optimum in tops if optimum.value >= FINALIST * maximum]
        best = best_entry(self.brief, [self._settle(seed) for seed in worthy])
        others = (self._settle(seed) for seed in seeds if seed not in worthy)
        return best or next((entry for entry in others if entry is not None), None)

    def _climb(self, seed: Seed) -> tuple[Objective, Optimum]:
        if seed.family not in self.climbs:
            slope = slope_of(self.brief, seed, self.held)
            self.climbs[seed.family] = slope, climbed(slope, seed)
        return self.climbs[seed.family]

    def _settle(self, seed: Seed) -> Entry | None:
        if seed.family not in self.ends:
            entry = settled(*self._climb(seed), seed, self.held)
            self.ends[seed.family] = entry
            self.hear(entry)
        return self.ends[seed.family]

    def hear(self, entry: Entry | None) -> None:
        """Pass on a layout that is better than all heard of before."""
        value = GOALS[self.brief.goal].value(entry.figures) if entry else 0.0
        if entry and value > self.heard[-1]:
            self.heard.append(value)
            self.better(entry)


def best_entry(brief: Brief, entries: Iterable[Entry | None]) -> Entry | None:
    """The best of the entries by the brief's goal, None among none."""
    goal = GOALS[brief.goal]
    found = [entry for entry in entries if entry is not None]
    return max(found, key=lambda entry: goal.value(entry.figures), default=None)


def slope_of(brief: Brief, seed: Seed, held: float | None = None) -> Objective:
    """What is climbed from a seed, with the seed's wire; held: pitch radius in m that is kept."""
    emf = TurnEmf(brief, seed.family)
    if held is None:
        return Objective(brief, seed.family, seed.wire, emf)
    return _HeldSlope(brief, seed.family, seed.wire, emf, held)


def climbed(slope: Objective, seed: Seed) -> Optimum:
    """Where the climb from a seed ends, or the seed itself when that is better."""
    start = Optimum(seed.dimensions, seed.turns, seed.value)
    found = climb(slope, seed.dimensions, seed.turns)
    return found if found is not None and found.value > start.value else start


def settled(first: Objective, optimum: Optimum, seed: Seed, held: float | None = None) -> Entry | None:
    """The best that can be built near an optimum, with its wire or the next thinner or thicker one.

    Where nothing near it can be set in hundredths of a millimetre, the grid point that the climb began from.
    """
    brief = first.brief
    climbs = [(first, optimum)]
    for wire in _neighbours(brief.wires, first.wire):
        slope = replace(first, wire=wire)
        turns = max(optimum.turns * first.wire.overall_area / wire.overall_area, 1.0)
        found = climb(slope, optimum.dimensions, turns)
        if found is not None:
            climbs.append((slope, found))
    ranked = sorted(climbs, key=lambda pair: -pair[1].value)
    worthy = [pair for pair in ranked if pair[1].value >= FINALIST * ranked[0][1].value][:WIRES]
    finals = [(slope, final) for slope, near in worthy for final in settle(slope, near)]
    best = best_entry(brief, (_entry(slope, final, held) for slope, final in finals))
    return best or _entry(first, Optimum(seed.dimensions, seed.turns, seed.value), held)


def _neighbours(wires: Iterable[Wire], wire: Wire) -> list[Wire]:
    """The next thinner and the next thicker wire of the list."""
    ordered = sorted(wires, key=lambda each: each.diameter)
    at = ordered.index(wire)
    return ordered[max(at - 1, 0) : at] + ordered[at + 1 : at + 2]


def _entry(slope: Objective, final: Optimum, held: float | None) -> Entry | None:
    """The finalist with its figures, or None when shapely does not agree that it fits."""
    dimensions = final.dimensions if held is None else replace(final.dimensions, pitch_radius=held)
    layout = layout_of(slope.brief, slope.family, dimensions, int(final.turns), slope.wire)
    if violations(layout) or overlaps(layout):
        return None
    return Entry(evaluate(layout))
