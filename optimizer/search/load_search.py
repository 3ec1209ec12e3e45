"""The search for a load: the layout that gives it the most, or that makes it work at the lowest speed.

With more EMF, or with less resistance, a load never gets less (the inductance apart, which is small at these speeds).
So the best layout lies near the front of the greatest EMF for each resistance: the search for EMF is run with one
resistance limit after another, and once for matched power; each answer, refined to what can be built, is judged with
the actual load, inductance and waveform included. The search within the best limit gives the best machine of each kind;
those that give the load most are then optimised once more, for the load itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.brief.brief import Brief
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import kind_of
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import evaluate
from optimizer.jobs.chunks import HERE, Progress, Run, run_units
from optimizer.jobs.documents import rounded
from optimizer.loads.electromagnetic_torque import cut_in_speed
from optimizer.loads.load_study import SAME
from optimizer.loads.load_target import LoadTarget, LoadVerdict
from optimizer.scan.choices import Candidate, candidate_of
from optimizer.scan.scan import scan_each
from optimizer.search.feasibility import NothingFits, explain
from optimizer.search.load_aim import UNLIMITED, LoadAim, LoadWorth, value_of
from optimizer.search.neighbours import best_single
from optimizer.search.objective import Objective
from optimizer.search.polish import polished, standing
from optimizer.search.refine import Finals, best_of
from optimizer.search.result import Entry, Result
from optimizer.search.search import Bests, Better, bests_of, explained

COARSE, STEPS = 3.0, 4  # the limits tried first: so many, each so many times below the last
HALFWAY = 2  # of these; beyond, only where the last is the best
ROUNDS = 2  # of refinement, two limits each
MERIT_DIGITS = 4  # machines that differ by less for the load are equals: one more than is shown
FOLLOWED = 3  # machines of the last search that are optimised for the load itself
NEAR = 0.75  # of the best one's worth: what these have at least
FEWER = 0.9  # of the turns: begun with where each turn takes more wire
AGAIN = 6  # times that one may be, the law of its worth found anew
SETTLED = 2e-5  # relative gain that is none


@dataclass(frozen=True, slots=True)
class Tried:
    """One point of the front: the search's goal and limit in Ω, its layout's own Ω, the target's value in W or rpm.

    cut_in_rpm: where the layout's output begins.
    """

    goal: str
    limit: float | None
    ohms: float
    value: float
    cut_in_rpm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadResult:
    """The answer: the search's result, with its verdict on the load, the load point at its speed, and the front tried.

    The result is that at the best resistance limit; its brief is the one that was asked, but for the goal.
    """

    result: Result
    verdict: LoadVerdict
    point: LoadPoint
    tried: tuple[Tried, ...]

    @property
    def target(self) -> LoadTarget:
        """What was searched for."""
        return self.verdict.target

    @property
    def value(self) -> float | None:
        """W for "load_power", rpm for "lowest_speed" (None when the load never works)."""
        return self.verdict.value

    @property
    def unit(self) -> str:
        """Of the value."""
        return "W" if self.target.kind == "load_power" else "rpm"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            **self.verdict.as_dict(),
            "load_kind": kind_of(self.target.load),
            "dc_V": rounded(self.point.dc_volts),
            "dc_A": rounded(self.point.dc_amps),
            "shaft_W": rounded(self.point.shaft_watts),
        }


def optimize_for_load(
    brief: Brief,
    target: LoadTarget,
    progress: Progress = lambda stage, share: None,
    better: Better = lambda entry: None,
    run: Run = HERE,
) -> LoadResult:
    """Search every layout that fits the brief for the target; raises `NothingFits` when none fits.

    The brief's own resistance limit, if any, is kept; its goal is not heeded. One phase and three are searched each by
    themselves, and the better of them to the end. better: told of each layout that is better for the target than all
    before it. run: where units of the work are run; the answer is the same to the bit.
    """
    run = Run(executor=run.executor, stop=run.stop)
    front, bests, winner, worth = _won(brief, target, progress, better, run)
    wanted = replace(brief, goal=front.best.goal)
    aim = LoadAim.near(winner.layout, worth)
    return _judged(explained(wanted, _with(bests, winner), winner, aim, progress, worth, run), front)


def load_winner(brief: Brief, target: LoadTarget) -> Entry:
    """The best machine for the target, without tables and reasons; raises `NothingFits` when none fits."""
    _, _, winner, _ = _won(brief, target, lambda stage, share: None, lambda entry: None, HERE)
    return winner


def _won(
    brief: Brief, target: LoadTarget, progress: Progress, better: Better, run: Run
) -> tuple[_Front, Bests, Entry, LoadWorth]:
    """The best front, the best of each kind within its best limit, the best of all, and the worth of those near it."""
    best = _Best(target, better)
    fronts = [found for phases in brief.phases if (found := _front(brief, phases, best, progress, run))]
    if not fronts:
        raise NothingFits(explain(brief))
    front = min(fronts, key=lambda each: loss(each.best, target))
    matched = front.limited(front.best.goal, front.best.limit)
    bests = bests_of(matched, progress, run=run)
    ranked = sorted({*bests.entries}, key=lambda entry: _rank(entry, target), reverse=True)
    near = [entry for entry in ranked[:FOLLOWED] if _is_near(entry, ranked[0], target)]
    starts = [*near, *_with_least_pegs(matched, ranked[0])]
    followed = run_units(_followed, [(front.brief, entry, target) for entry in starts], run)
    winner, worth = max(followed, key=lambda pair: _rank(pair[0], target))
    return front, bests, winner, worth


def _is_near(entry: Entry, best: Entry, target: LoadTarget) -> bool:
    """Whether a machine may overtake the best of its search once each is optimised for the load."""
    more, less = (target_value(each.layout, target) for each in (best, entry))
    if target.kind == "lowest_speed":
        more, less = less, more
    return less >= NEAR * more


def _followed(asked: tuple[Brief, Entry, LoadTarget]) -> tuple[Entry, LoadWorth]:
    """A machine optimised for the load itself, within the brief, until no single move makes it better."""
    brief, entry, target = asked
    worth = LoadWorth.near(entry.layout, target)
    layout = entry.layout
    for _ in range(AGAIN):
        aim = LoadAim.near(layout, worth)
        found = Finals(brief, aim=aim).best_of([[candidate_of(layout)]])
        if found is None or not worth(found.layout) > aim.here * (1 + SETTLED):
            break
        layout = found.layout
    sooner = worth.sooner(layout)
    while True:
        start, aim = candidate_of(layout), replace(LoadAim.near(layout, sooner), exact=sooner)
        built = standing(Objective(brief, start.family, start.wire, aim), start.row)
        layout = layout if built is None else polished(built).layout
        moved = best_single(brief, layout, sooner)
        if not sooner(moved) > sooner(layout) * (1 + SETTLED):
            break
        layout = moved
    return entry if layout is entry.layout else Entry(evaluate(layout)), worth


def _with_least_pegs(brief: Brief, entry: Entry) -> Iterator[Entry]:
    """The best machine like one but with the brief's own pegs: its wave is more pointed, which bridges may prefer.

    From there a load's optimum is another than from where thick pegs save wire.
    """
    start = candidate_of(entry.layout)
    if start.dimensions.peg_radius > brief.peg_radius:
        thin = replace(start.dimensions, peg_radius=brief.peg_radius)
        start = replace(start, dimensions=thin, turns=FEWER * start.turns)
        found = Finals(brief, keeps_pegs=True).best_of([[start]])
        if found is not None:
            yield found


def _with(bests: Bests, best: Entry) -> Bests:
    """Those of each kind, with the best in its places."""
    layout = best.layout
    return replace(
        bests,
        by_count=bests.by_count | {layout.carrier.count: best},
        by_shape=bests.by_shape | {layout.topology.name: best},
        by_phases=bests.by_phases and bests.by_phases | {layout.phases: best},
    )


def _judged(result: Result, front: _Front) -> LoadResult:
    """The answer, of the search at the front's best limit; the front and the answer are what was tried."""
    layout, target = result.best.layout, front.target
    source, tried = _source(layout), [*front.tried, _tried(result.best, target)]
    value = value_of(source, layout.speed_rpm, target)
    point = steady_state(source, target.load, layout.speed_rpm)
    verdict = LoadVerdict(
        target=target,
        value=value if value < UNLIMITED else None,
        watts=point.load_watts,
        limit=front.best.limit,
        peak=source.peak_constant * rad_s_of(layout.speed_rpm),
        cut_in_rpm=rpm_of(cut_in_speed(source, target.load)),
        alike=max(len({t.ohms for t in tried if abs(t.value - value) <= SAME * value}), 1),
        tried=len({t.ohms for t in tried}),
    )
    return LoadResult(
        result=replace(_fed(result, target), load=verdict),
        verdict=verdict,
        point=point,
        tried=tuple(sorted(tried, key=lambda one: one.ohms)),
    )


def _fed(result: Result, target: LoadTarget) -> Result:
    """The result with what the load gets of each machine that is shown."""

    def fed(entry: Entry) -> Entry:
        point = steady_state(_source(entry.layout), target.load, entry.layout.speed_rpm)
        return replace(entry, load_watts=point.load_watts)

    shown = {*result.by_magnet_count, *result.by_topology, *result.by_phases, result.best}
    known = {entry: fed(entry) for entry in sorted(shown, key=lambda entry: entry.figures.emf_rms_V)}
    return replace(
        result,
        best=known[result.best],
        by_magnet_count=tuple(known[entry] for entry in result.by_magnet_count),
        by_topology=tuple(known[entry] for entry in result.by_topology),
        by_phases=tuple(known[entry] for entry in result.by_phases),
    )


def _front(brief: Brief, phases: int, best: _Best, progress: Progress, run: Run) -> _Front | None:
    """The front of layouts of so many phases; None when none fits."""
    target = best.target
    front = _Front(replace(brief, phases=(phases,)), best, progress, run)
    first = front.ask([("emf_rms", brief.resistance)])
    if first and (target.kind == "load_power" or target.needed_watts > 0):
        front.explore(first[0].ohms)
    return front if first else None


def target_value(layout: Layout, target: LoadTarget) -> float:
    """W that the load gets at the layout's speed, or the lowest rpm at which it works."""
    return value_of(_source(layout), layout.speed_rpm, target)


@lru_cache(maxsize=64)
def _source(layout: Layout) -> TheveninSource:
    """The same machines are judged again and again; their inductance takes longest."""
    return thevenin_of(layout)


def _rank(entry: Entry, target: LoadTarget) -> tuple[float, ...]:
    """What the best machine has the most of: the target's worth, then an early start, as finely as they matter; EMF."""
    tried = _tried(entry, target)
    lost = tuple(-float(f"{each:.{MERIT_DIGITS}g}") for each in loss(tried, target))
    return *lost, entry.figures.emf_rms_V


def loss(tried: Tried, target: LoadTarget) -> tuple[float, float]:
    """What is least for the best, rpm or −W; of equals, such as many that give nothing, the rpm where output begins."""
    return tried.value if target.kind == "lowest_speed" else -tried.value, tried.cut_in_rpm


def _tried(entry: Entry, target: LoadTarget, goal: str = "", limit: float | None = None) -> Tried:
    source = _source(entry.layout)
    value, starts = value_of(source, entry.layout.speed_rpm, target), rpm_of(cut_in_speed(source, target.load))
    return Tried(goal, limit, entry.figures.resistance_ohm, value, starts)


def _best_from(asked: tuple[Brief, tuple[Candidate, ...]]) -> Entry | None:
    """The best layout that starts lead to within a brief."""
    return best_of(*asked)


class _Best:
    """The best layout for the target so far, of all fronts; tells of each better one."""

    def __init__(self, target: LoadTarget, better: Better) -> None:
        self.target = target
        self._better, self._minimum = better, (float("inf"), float("inf"))

    def hear(self, entry: Entry, lost: tuple[float, float]) -> None:
        """Take note of a layout."""
        if lost < self._minimum:
            self._minimum = lost
            self._better(entry)


class _Front:
    """The greatest EMF for one resistance limit after another, judged by the target."""

    def __init__(self, brief: Brief, best: _Best, progress: Progress, run: Run) -> None:
        self.brief, self.target, self.tried = brief, best.target, list[Tried]()
        self._of_all, self._progress, self._run = best, progress, run

    @property
    def best(self) -> Tried:
        """Of all tried."""
        return min(self.tried, key=lambda tried: loss(tried, self.target))

    def limited(self, goal: str, limit: float | None) -> Brief:
        """The brief with this goal and this resistance limit."""
        return replace(self.brief, goal=goal, resistance=limit)

    def ask(self, wanted: Sequence[tuple[str, float | None]]) -> list[Tried]:
        """Search quickly, in one scan, with each goal and limit in Ω; those within which nothing fits are left out."""
        self._progress("Matching the load", len(self.tried) / (2 + STEPS + 2 * ROUNDS))
        briefs = [self.limited(goal, limit) for goal, limit in wanted]
        found: list[Tried] = []
        units = [(each, scanned.starts) for each, scanned in zip(briefs, scan_each(briefs), strict=True)]
        for (goal, limit), entry in zip(wanted, run_units(_best_from, units, self._run), strict=True):
            if entry is not None:
                found.append(_tried(entry, self.target, goal, limit))
                self._of_all.hear(entry, loss(found[-1], self.target))
        self.tried += found
        return found

    def explore(self, highest: float) -> None:
        """Matched power and coarse steps down from `highest` (Ω), then between the best limit's neighbours."""
        coarse = [("emf_rms", highest / COARSE**step) for step in range(1, STEPS + 1)]
        self.ask([("power", self.brief.resistance), *coarse[:HALFWAY]])
        if self.best.limit == coarse[HALFWAY - 1][1]:  # lower ones have a promise where that is the best so far
            self.ask(coarse[HALFWAY:])
        ratio = COARSE
        for _ in range(ROUNDS):
            ratio **= 0.5
            ohms = self.best.ohms
            between = [limit for limit in (ohms * ratio, ohms / ratio) if limit < highest]
            if between:
                self.ask([("emf_rms", limit) for limit in between])
