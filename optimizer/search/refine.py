"""From the scan's seeds to the best layout that can be built, and nothing else: no tables, no reasons.

Local optimisation, the wires beside the seed's, rounding to what a workshop can set, shapely, and moves until none is
better: the one path of the whole search, and of those who need many winners. The carrier may be held, so that coil
shapes meet the same magnets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.jobs.chunks import one_thread
from optimizer.scan.choices import Family
from optimizer.scan.scan import Seed
from optimizer.search.local_optimisation import Optimum, best_fitting, local_optimum, settle
from optimizer.search.objective import Objective, row_of
from optimizer.search.polish import Standing, polished, standing
from optimizer.search.result import Entry
from optimizer.search.turn_emf import TurnEmf

CONTENDER = 0.9  # of the best seed: worth climbing
FINALIST = 0.985  # of the best climb: worth settling, at least
ROUNDED = 3e-3  # share that whole hundredths of a millimetre may cost
POLISHED = 1e-3  # share that moves to the nearest hundredths may bring
STARTS = 3  # seeds of a family that are climbed from, at different pitch radii
PROMISE = 0.95  # of a climb's end: worth climbing with another wire from the best of these proportions
WIDE, TALL, FAR = (0.6, 0.8, 1.0, 1.25, 1.6), (0.5, 0.65, 0.8, 1.0, 1.25, 1.6, 2.0), (0.85, 1.0, 1.15)

Final = tuple[Objective, Standing]
"""A layout that can be built, and what it was optimised by."""


@one_thread
def best_of(brief: Brief, seeds: Sequence[Seed], held: float | None = None) -> Entry | None:
    """The best layout that seeds lead to; None when none of them can be built.

    seeds: best first, of any families. held: pitch radius in m that all keep.
    """
    return Finals(brief, held).best_of([*by_family(seeds).values()])


def by_family(seeds: Iterable[Seed]) -> dict[Family, list[Seed]]:
    """Seeds (best first) of each family, the best family first."""
    found: dict[Family, list[Seed]] = {}
    for seed in seeds:
        found.setdefault(seed.family, []).append(seed)
    return found


def unheard(entry: Entry) -> None:
    """Tell nobody."""
    del entry


@dataclass(frozen=True, slots=True)
class Finals:
    """Climbs, settled layouts and polished ones, kept so that no family is followed twice.

    held: pitch radius in m that all keep, or None. better: told of each layout that is better than all before it.
    """

    brief: Brief
    held: float | None = None
    better: Callable[[Entry], None] = unheard
    optima: dict[Family, tuple[Objective, Optimum]] = field(
        default_factory=dict[Family, tuple[Objective, Optimum]]
    )
    ends: dict[Family, list[Final]] = field(default_factory=dict[Family, list[Final]])
    tops: dict[int, Entry] = field(default_factory=dict[int, Entry])
    heard: list[float] = field(default_factory=lambda: [0.0])

    def best_of(self, families: Sequence[Sequence[Seed]]) -> Entry | None:
        """The best layout that the seeds of families (best first) lead to.

        The less worthy families are followed, one after another, only when nothing comes of the others.
        """
        highest = max((seeds[0].value for seeds in families), default=0.0)
        optima = [
            (seeds, self._optimised(seeds)[1]) for seeds in families if seeds[0].value >= CONTENDER * highest
        ]
        maximum = max((optimum.value for _, optimum in optima), default=0.0)
        worthy = [seeds for seeds, optimum in optima if optimum.value >= (1 - lost(optimum.turns)) * maximum]
        finals = [final for seeds in worthy for final in self._settle(seeds)]
        others = (self._settle(seeds) for seeds in families if seeds not in worthy)
        finals = finals or next((some for some in others if some), list[Final]())
        best = max((final.value for _, final in finals), default=0.0)
        near = (
            final
            for final in finals
            if final[1].value >= (1 - max(POLISHED, lost(final[1].turns) / 8)) * best
        )
        return best_entry(self.brief, [self._polish(final) for final in near])

    def _optimised(self, seeds: Sequence[Seed]) -> tuple[Objective, Optimum]:
        family = seeds[0].family
        if family not in self.optima:
            objective = Objective(self.brief, family, seeds[0].wire, TurnEmf(self.brief, family))
            self.optima[family] = locally_optimised(objective, seeds[0], held=self.held is not None)
        return self.optima[family]

    def _settle(self, seeds: Sequence[Seed]) -> list[Final]:
        family = seeds[0].family
        if family not in self.ends:
            again = [
                locally_optimised(self._optimised(seeds)[0], seed, held=self.held is not None)
                for seed in seeds[1:STARTS]
            ]
            top = (
                max(self._optimised(seeds), *again, key=lambda end: end[1].value)
                if again
                else self._optimised(seeds)
            )
            self.ends[family] = settled(*top, seeds[0], self.held)
        return self.ends[family]

    def _polish(self, final: Final) -> Entry:
        key = id(final[1])
        if key not in self.tops:
            layout = polished(*final, held=self.held is not None).layout
            self.tops[key] = Entry(evaluate(layout))
            self.hear(self.tops[key])
        return self.tops[key]

    def hear(self, entry: Entry) -> None:
        """Pass on a layout that is better than all heard of before."""
        value = GOALS[self.brief.goal].value(entry.figures)
        if value > self.heard[-1]:
            self.heard.append(value)
            self.better(entry)


def best_entry(brief: Brief, entries: Iterable[Entry]) -> Entry | None:
    """The best of the entries by the brief's goal, None among none."""
    goal = GOALS[brief.goal]
    return max(entries, key=lambda entry: goal.value(entry.figures), default=None)


def locally_optimised(objective: Objective, seed: Seed, *, held: bool = False) -> tuple[Objective, Optimum]:
    """Where the search from a seed ends with its wire, or the seed if that is better; held: see `local_optimum`."""
    objective = replace(objective, wire=seed.wire)
    start = Optimum(seed.dimensions, seed.turns, seed.value)
    found = local_optimum(objective, seed.dimensions, seed.turns, held=held)
    return objective, found if found is not None and found.value > start.value else start


def settled(first: Objective, optimum: Optimum, seed: Seed, held: float | None = None) -> list[Final]:
    """What can be built near an optimum, with its wire or the next thinner or thicker one; none when nothing can.

    Where nothing near it can be set in hundredths of a millimetre, the grid point that the climb began from.
    """
    still = held is not None
    optima = [(first, optimum), *_other_wires(first, optimum, held=still)]
    maximum = max(near.value for _, near in optima)
    worthy = [
        (objective, near) for objective, near in optima if near.value >= (1 - lost(near.turns)) * maximum
    ]
    ends = [(objective, final) for objective, near in worthy for final in settle(objective, near, held=still)]
    for some in (ends, [(first, Optimum(seed.dimensions, seed.turns, seed.value))]):
        finals = {(objective.wire, final): _built(objective, final, held) for objective, final in some}
        built = [
            (objective, found)
            for objective, final in some
            if (found := finals.pop((objective.wire, final), None))
        ]
        if built:
            return built
    return []


def lost(turns: float) -> float:
    """Share of the goal that whole turns and whole hundredths of a millimetre may cost."""
    return min(ROUNDED + 1 / turns, 1 - FINALIST)


def _built(objective: Objective, final: Optimum, held: float | None) -> Standing | None:
    dimensions = final.dimensions if held is None else replace(final.dimensions, pitch_radius=held)
    return standing(objective, row_of(dimensions, final.turns)[0])


def _other_wires(first: Objective, optimum: Optimum, *, held: bool) -> Iterator[tuple[Objective, Optimum]]:
    """Climbs with the next thinner and the next thicker wire, where bundles of other proportions promise as much."""
    for wire in _neighbours(first.brief.wires, first.wire):
        objective = replace(first, wire=wire)
        start = best_fitting(objective, _reshaped(objective, optimum))
        if start is not None and start.value >= PROMISE * optimum.value:
            found = local_optimum(objective, start.dimensions, start.turns, held=held)
            yield objective, found if found is not None and found.value > start.value else start


def _reshaped(objective: Objective, optimum: Optimum) -> np.ndarray:
    """Bundles of some proportions in the place of an optimum, (E, 5), m."""
    shares = np.stack(np.meshgrid(FAR, WIDE, TALL, indexing="ij"), axis=-1).reshape(-1, 3)
    rows = np.repeat(optimum.dimensions.as_array()[None], len(shares), axis=0)
    rows[:, 1] = rows[:, 2] - (rows[:, 2] - rows[:, 1]) * shares[:, 0]
    rows[:, 3] *= shares[:, 1]
    rows[:, 4] = np.minimum(rows[:, 4] * shares[:, 2], objective.brief.coil_height / objective.family.stacked)
    return rows


def _neighbours(wires: Iterable[Wire], wire: Wire) -> list[Wire]:
    """The next thinner and the next thicker wire of the list."""
    ordered = sorted(wires, key=lambda each: each.diameter)
    at = ordered.index(wire)
    return ordered[max(at - 1, 0) : at] + ordered[at + 1 : at + 2]
