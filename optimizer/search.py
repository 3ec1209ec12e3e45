"""The search: scan the whole grid, climb from its best points with scipy, settle on what a workshop can set.

Every family (magnet, count, coil shape) that may win its magnet count or its coil shape is climbed; shapely judges
every finalist. Nothing is random: the same brief gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from geometry.fit import misfits
from geometry.overlap import overlaps
from geometry.wire import Wire
from optimizer.brief import Brief
from optimizer.choices import Family, layout_of
from optimizer.climb import Optimum, Slope, climb, settle
from optimizer.evaluate import evaluate
from optimizer.feasibility import NothingFits, explain
from optimizer.goal import GOALS
from optimizer.limits import limit_gains
from optimizer.moves import single_moves
from optimizer.result import Entry, Result
from optimizer.scan import Scan, Seed, scan
from optimizer.textbook import textbook
from optimizer.turn_emf import TurnEmf

CONTENDER = 0.9  # of the best grid point of its group: worth climbing
FINALIST = 0.985  # of the best climb of its group: worth settling

Progress = Callable[[str, float], None]
"""Called with what is being done and the share of it that is done."""

Better = Callable[[Entry], None]
"""Called with each layout that is better than all before it."""


def _silent(stage: str, share: float) -> None:
    del stage, share


def _unheard(entry: Entry) -> None:
    del entry


def optimize(brief: Brief, progress: Progress = _silent, better: Better = _unheard) -> Result:
    """Search every layout that fits the brief; raises `NothingFits` with the reasons when none does."""
    scanned = scan(brief, lambda share: progress("Scanning layouts", share))
    if not scanned.seeds:
        raise NothingFits(explain(brief))
    finals = _Finals(brief, better)
    finals.hear(_first(brief, scanned.seeds[0]))
    by_count = _winners(finals, _grouped(scanned, lambda f: f.count), lambda s: progress("Refining", s * 0.7))
    by_shape = _winners(
        finals, _grouped(scanned, lambda f: f.topology.name), lambda s: progress("Refining", 0.7 + s * 0.3)
    )
    goal = GOALS[brief.goal]
    entries = [*by_count.values(), *by_shape.values()]
    if not entries:
        raise NothingFits(explain(brief))
    best = max(entries, key=lambda entry: goal.value(entry.figures))
    progress("Asking what each limit costs", 0.0)
    return Result(
        brief=brief,
        best=best,
        by_magnet_count=tuple(by_count[count] for count in sorted(by_count)),
        by_topology=tuple(by_shape[name] for name in brief.topologies if name in by_shape),
        textbook=textbook(brief),
        limits=limit_gains(brief, best.layout, lambda share: progress("Asking what each limit costs", share)),
        moves=single_moves(brief, best.layout),
        layouts_considered=scanned.considered,
        scan_best=scanned.seeds[0].value,
    )


def _grouped(scanned: Scan, key: Callable[[Family], int | str]) -> dict[int | str, list[Seed]]:
    """The best seed of every family, grouped, best first."""
    groups: dict[int | str, list[Seed]] = {}
    seen: set[tuple[object, ...]] = set()
    for seed in scanned.seeds:
        identity = _identity(seed)
        if identity not in seen:
            seen.add(identity)
            groups.setdefault(key(seed.family), []).append(seed)
    return groups


def _winners(
    finals: _Finals, groups: dict[int | str, list[Seed]], progress: Callable[[float], None]
) -> dict[int | str, Entry]:
    winners: dict[int | str, Entry] = {}
    for done, (key, seeds) in enumerate(groups.items()):
        entry = finals.best_of(seeds)
        if entry is not None:
            winners[key] = entry
        progress((done + 1) / len(groups))
    return winners


@dataclass(frozen=True, slots=True)
class _Finals:
    """Climbs and settled layouts, kept so that no family is climbed twice."""

    brief: Brief
    better: Better = _unheard
    climbed: dict[tuple[object, ...], tuple[Slope, Optimum] | None] = field(default_factory=dict)
    settled: dict[tuple[object, ...], Entry | None] = field(default_factory=dict)
    heard: list[float] = field(default_factory=lambda: [0.0])

    def best_of(self, seeds: list[Seed]) -> Entry | None:
        """The best layout that the families of these seeds (best first) lead to."""
        tops = [(seed, self._climb(seed)) for seed in seeds if seed.value >= CONTENDER * seeds[0].value]
        reached = [(seed, found[1].value) for seed, found in tops if found is not None]
        most = max((value for _, value in reached), default=0.0)
        entries = [self._settle(seed) for seed, value in reached if value >= FINALIST * most]
        goal = GOALS[self.brief.goal]
        return max((e for e in entries if e is not None), key=lambda e: goal.value(e.figures), default=None)

    def _climb(self, seed: Seed) -> tuple[Slope, Optimum] | None:
        key = _identity(seed)
        if key not in self.climbed:
            slope = Slope(self.brief, seed.family, seed.wire, TurnEmf(self.brief, seed.family))
            optimum = climb(slope, seed.dimensions, seed.turns)
            start = Optimum(seed.dimensions, seed.turns, seed.value)
            self.climbed[key] = (slope, optimum if optimum and optimum.value > start.value else start)
        return self.climbed[key]

    def _settle(self, seed: Seed) -> Entry | None:
        key = _identity(seed)
        if key not in self.settled:
            self.settled[key] = entry = self._settle_wires(seed)
            self.hear(entry)
        return self.settled[key]

    def hear(self, entry: Entry | None) -> None:
        """Pass on a layout that is better than all heard of before."""
        value = GOALS[self.brief.goal].value(entry.figures) if entry else 0.0
        if entry and value > self.heard[-1]:
            self.heard.append(value)
            self.better(entry)

    def _settle_wires(self, seed: Seed) -> Entry | None:
        found = self._climb(seed)
        if found is None:
            return None
        first, optimum = found
        wires = _neighbours(self.brief.wires, first.wire)
        slopes = [Slope(self.brief, seed.family, wire, first.emf) for wire in wires]
        others = [
            (slope, climb(slope, optimum.dimensions, _same_section(optimum, first, slope)))
            for slope in slopes
        ]
        ranked = sorted([found, *((s, o) for s, o in others if o)], key=lambda pair: -pair[1].value)
        worthy = [(s, o) for s, o in ranked if o.value >= ranked[0][1].value * FINALIST][:2]
        entries = [
            _entry(self.brief, slope, final) for slope, near in worthy for final in settle(slope, near)
        ]
        goal = GOALS[self.brief.goal]
        return max((e for e in entries if e is not None), key=lambda e: goal.value(e.figures), default=None)


def _first(brief: Brief, seed: Seed) -> Entry:
    """The scan's best point as a layout."""
    layout = layout_of(brief, seed.family, seed.dimensions, seed.turns, seed.wire)
    return Entry(layout, evaluate(layout))


def _identity(seed: Seed) -> tuple[object, ...]:
    family = seed.family
    return (family.magnet, family.count, family.topology.name, family.phases, family.coils)


def _neighbours(wires: Iterable[Wire], wire: Wire) -> list[Wire]:
    """The next thinner and the next thicker wire of the list."""
    ordered = sorted(wires, key=lambda w: w.diameter)
    at = ordered.index(wire)
    return ordered[max(at - 1, 0) : at] + ordered[at + 1 : at + 2]


def _same_section(optimum: Optimum, was: Slope, now: Slope) -> float:
    """Turns of the other wire that fill the same section, at least 1."""
    return max(optimum.turns * was.wire.overall_area / now.wire.overall_area, 1.0)


def _entry(brief: Brief, slope: Slope, optimum: Optimum) -> Entry | None:
    """The finalist with its figures, or None when shapely does not agree that it fits."""
    layout = layout_of(brief, slope.family, optimum.dimensions, int(optimum.turns), slope.wire)
    if misfits(layout) or overlaps(layout):
        return None
    return Entry(layout, evaluate(layout))
