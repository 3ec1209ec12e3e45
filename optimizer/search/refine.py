"""From the scan's starts to the best layout that can be built, and nothing else: no tables, no reasons.

Local optimisation, the wires beside the start's, rounding to what a workshop can set, shapely, and moves until none is
better: the one path of the whole search, and of those who need many winners. The carrier may be held, so that coil
shapes meet the same magnets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from geometry.curves.curve import Real
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate, significant
from optimizer.jobs.chunks import one_thread
from optimizer.scan.choices import Candidate, Family
from optimizer.search.local_optimisation import best_fitting, local_optimum, rounded_nearby
from optimizer.search.objective import Aim, Objective
from optimizer.search.polish import Standing, polished, standing
from optimizer.search.result import Entry

CONTENDER = 0.9  # of the best start: worth optimising
FINALIST = 0.985  # of the best optimum: worth rounding, at least
ROUNDED = 3e-3  # share that whole hundredths of a millimetre may cost
POLISHED = 1e-3  # share that moves to the nearest hundredths may bring
STARTS = 3  # of a family that are optimised, at different pitch radii
PROMISE = 0.95  # of an optimum: worth optimising with another wire from the best of these proportions
WIDE, TALL, FAR = (0.6, 0.8, 1.0, 1.25, 1.6), (0.5, 0.65, 0.8, 1.0, 1.25, 1.6, 2.0), (0.85, 1.0, 1.15)


@one_thread
def best_of(brief: Brief, starts: Iterable[Candidate], held: float | None = None) -> Entry | None:
    """The best layout that starts lead to; None when none of them can be built.

    starts: best first, of any families. held: pitch radius in m that all keep.
    """
    return Finals(brief, held).best_of([*by_family(starts).values()])


def by_family(starts: Iterable[Candidate]) -> dict[Family, list[Candidate]]:
    """Starts (best first) of each family, the best family first."""
    families: dict[Family, list[Candidate]] = {}
    for start in starts:
        families.setdefault(start.family, []).append(start)
    return families


def _unheard(entry: Entry) -> None:
    """Nobody asked to be told."""


@dataclass(frozen=True, slots=True)
class Finals:
    """Optima, what can be built near them, and polished layouts, kept so that no family is followed twice.

    held: pitch radius in m that all keep, or None. better: told of each layout that is better than all before it.
    aim: what is searched for, in place of the brief's goal. keeps_pegs: whether pegs stay those of the starts.
    """

    brief: Brief
    held: float | None = None
    aim: Aim | None = None
    keeps_pegs: bool = False
    better: Callable[[Entry], None] = _unheard
    optima: dict[Family, Candidate] = field(default_factory=dict[Family, Candidate])
    ends: dict[Family, list[Standing]] = field(default_factory=dict[Family, list[Standing]])
    tops: dict[Standing, tuple[float, Entry]] = field(default_factory=dict[Standing, tuple[float, Entry]])
    heard: list[float] = field(default_factory=lambda: [0.0])

    def best_of(self, families: Sequence[Sequence[Candidate]]) -> Entry | None:
        """The best layout that the starts of families (best first) lead to.

        The less worthy families are followed, one after another, only when nothing comes of the others.
        """
        highest = max((starts[0].value for starts in families), default=0.0)
        contenders = [starts for starts in families if starts[0].value >= CONTENDER * highest]
        optima = {starts[0].family: self._optimum(starts) for starts in contenders}
        worthy = {optimum.family for optimum in self._near_the_best([*optima.values()])}
        finals = [final for starts in contenders if starts[0].family in worthy for final in self._built(starts)]
        others = (self._built(starts) for starts in families if starts[0].family not in worthy)
        finals = finals or next((some for some in others if some), list[Standing]())
        best = max((final.value for final in finals), default=0.0)
        near = [
            final
            for final in finals
            if final.value >= (1 - self._steepness * max(POLISHED, lost(final.row[-1]) / 8)) * best
        ]
        tops = [self._polished(final) for final in near]
        return max(tops, key=lambda top: top[0])[1] if tops else None

    @property
    def _steepness(self) -> float:
        return (self.aim or GOALS[self.brief.goal]).steepness

    def _near_the_best(self, optima: Sequence[Candidate]) -> list[Candidate]:
        """Those that may be the best once their turns are whole."""
        maximum = max((optimum.value for optimum in optima), default=0.0)
        return [near for near in optima if near.value >= (1 - self._steepness * lost(near.turns)) * maximum]

    def _optimum(self, starts: Sequence[Candidate]) -> Candidate:
        family = starts[0].family
        if family not in self.optima:
            self.optima[family] = self._optimised(starts[0])
        return self.optima[family]

    def _optimised(self, start: Candidate) -> Candidate:
        """Where the search from a start ends with its wire, or the start if that is better."""
        found = local_optimum(self._objective(start), start, held=self.held is not None)
        return found if found is not None and found.value > start.value else start

    def _objective(self, candidate: Candidate) -> Objective:
        return Objective(
            self.brief, candidate.family, candidate.wire, self.aim, keeps_pegs=self.keeps_pegs
        )

    def _built(self, starts: Sequence[Candidate]) -> list[Standing]:
        """What can be built near a family's best optimum, with its wire or the next thinner or thicker one.

        Where nothing near it can be set in hundredths of a millimetre, the grid point that the search began from.
        """
        family = starts[0].family
        if family not in self.ends:
            again = [self._optimised(start) for start in starts[1:STARTS]]
            best = max(self._optimum(starts), *again, key=lambda end: end.value) if again else self._optimum(starts)
            ends = [
                end
                for near in self._near_the_best([best, *self._with_other_wires(best)])
                for end in rounded_nearby(self._objective(near), near, held=self.held is not None)
            ]
            some = ([self._standing(end) for end in each] for each in (dict.fromkeys(ends), starts[:1]))
            self.ends[family] = next(filter(None, ([s for s in each if s] for each in some)), list[Standing]())
        return self.ends[family]

    def _standing(self, end: Candidate) -> Standing | None:
        if self.held is not None:
            end = replace(end, dimensions=replace(end.dimensions, pitch_radius=self.held))
        return standing(self._objective(end), end.row)

    def _with_other_wires(self, optimum: Candidate) -> Iterator[Candidate]:
        """Optima with the next thinner and thicker wire, where bundles of other proportions promise as much."""
        ordered = sorted(self.brief.wires, key=lambda each: (each.copper_area, -each.strands))
        at = ordered.index(optimum.wire)
        for wire in ordered[max(at - 1, 0) : at] + ordered[at + 1 : at + 2]:
            objective = self._objective(optimum).of_wire(wire)
            start = best_fitting(objective, _reshaped(self.brief, optimum))
            if start is not None and start.value >= PROMISE * optimum.value:
                yield self._optimised(start)

    def _polished(self, final: Standing) -> tuple[float, Entry]:
        """The value as it is printed (the last bits of a sum decide between no two machines), and the machine."""
        if final not in self.tops:
            top = polished(final, held=self.held is not None)
            self.tops[final] = significant(top.value), Entry(evaluate(top.layout))
            self.hear(*self.tops[final])
        return self.tops[final]

    def quiet(self) -> Finals:
        """The same, telling nobody, so that it can travel between processes."""
        return replace(self, better=_unheard, heard=[0.0])

    def learn(self, other: Finals) -> None:
        """Take over what another search of the same brief found."""
        self.optima.update(other.optima)
        self.ends.update(other.ends)
        self.tops.update(other.tops)
        for value, entry in other.tops.values():
            self.hear(value, entry)

    def hear(self, value: float, entry: Entry) -> None:
        """Pass on a layout whose value, in the goal's unit, is better than all heard of before."""
        if value > self.heard[-1]:
            self.heard.append(value)
            self.better(entry)


def best_entry(brief: Brief, entries: Iterable[Entry]) -> Entry | None:
    """The best of the entries by the brief's goal, None among none."""
    goal = GOALS[brief.goal]
    return max(entries, key=lambda entry: goal.value(entry.figures), default=None)


def lost(turns: float) -> float:
    """Share of the goal that whole turns and whole hundredths of a millimetre may cost."""
    return min(ROUNDED + 1 / turns, 1 - FINALIST)


def _reshaped(brief: Brief, optimum: Candidate) -> Real:
    """Bundles of some proportions in the place of an optimum, (E, 6), m."""
    shares = np.stack(np.meshgrid(FAR, WIDE, TALL, indexing="ij"), axis=-1).reshape(-1, 3)
    rows = np.repeat(optimum.row[None, :-1], len(shares), axis=0)
    rows[:, 1] = rows[:, 2] - (rows[:, 2] - rows[:, 1]) * shares[:, 0]
    rows[:, 3] *= shares[:, 1]
    rows[:, 4] = np.minimum(rows[:, 4] * shares[:, 2], brief.coil_height / optimum.family.stacked)
    return rows
