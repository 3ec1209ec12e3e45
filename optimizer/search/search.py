"""The search: scan the whole grid, optimise from its best points with scipy, round to what a workshop can set.

Every family (magnet, count, coil shape) that may win its magnet count or its coil shape is followed; shapely judges
every finalist. Nothing is random: the same brief gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from geometry.machine.layout import Layout
from optimizer.bounds.any_winding import WindingBound
from optimizer.bounds.proof import brief_bound
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.field.emf import machine_emf
from optimizer.jobs.chunks import HERE, Progress, Run, begun, one_thread
from optimizer.scan.scan import scan
from optimizer.search.baseline import textbook
from optimizer.search.feasibility import NothingFits, Reason, explain
from optimizer.search.groups import by_count, by_kind
from optimizer.search.neighbours import Worth, single_moves
from optimizer.search.objective import Aim
from optimizer.search.reason_words import count_misses
from optimizer.search.refine import Finals, best_of
from optimizer.search.result import Entry, Result
from optimizer.search.sensitivity import limit_gains

NOTHING = 5e-5  # relative change of the goal that is told as none

Better = Callable[[Entry], None]
"""Called with each layout that is better than all before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bests:
    """The best machine of each number of magnets, each coil shape and, where several are tried, number of phases.

    considered: layouts of the scan, whose best has `scan_best` of the goal, in its unit.
    """

    by_count: dict[int, Entry]
    by_shape: dict[str, Entry]
    by_phases: dict[int, Entry]
    considered: int
    scan_best: float

    @property
    def entries(self) -> list[Entry]:
        """All of them."""
        return [*self.by_count.values(), *self.by_shape.values(), *self.by_phases.values()]


@one_thread
def optimize(
    brief: Brief,
    progress: Progress = lambda stage, share: None,
    better: Better = lambda entry: None,
    run: Run = HERE,
) -> Result:
    """Search every layout that fits the brief; raises `NothingFits` with the reasons when none does.

    run: where the units of the work are run, its own progress and journal apart; the answer is the same to the bit.
    """
    bests = bests_of(brief, progress, better, run)
    goal = GOALS[brief.goal]
    best = max(bests.entries, key=lambda entry: goal.value(entry.figures))
    return explained(brief, bests, best, goal, progress, goal.worth, run)


@one_thread
def bests_of(brief: Brief, progress: Progress, better: Better = lambda entry: None, run: Run = HERE) -> Bests:
    """The best machine of each kind, by the brief's goal; raises `NothingFits` when there is none."""
    finals = Finals(brief, better=better)
    counts = by_count(brief, _telling(run, progress, "Scanning layouts, refining the best"), finals)
    families = sorted((f for each in counts.values() for f in each.families), key=lambda f: -f[0].value)
    if not families:
        raise NothingFits(explain(brief))
    refining = _telling(run, progress, "Refining the best of each coil shape")
    shapes = by_kind(families, lambda family: family.topology.name, refining, finals)
    several = len(brief.phases) > 1
    bests = Bests(
        by_count={count: each.best for count, each in counts.items() if each.best is not None},
        by_shape=shapes,
        by_phases=by_kind(families, lambda family: family.phases, run, finals) if several else {},
        considered=sum(each.considered for each in counts.values()),
        scan_best=families[0][0].value,
    )
    if not bests.entries:
        raise NothingFits(explain(brief))
    return bests


def _telling(run: Run, progress: Progress, stage: str) -> Run:
    """The run, whose progress is that of a stage of the search."""

    def told(done: int, total: int) -> None:
        progress(stage, done / max(total, 1))

    return replace(run, progress=told)


@one_thread
def explained(  # noqa: PLR0913, PLR0917 - of a load the aim is a law, its worth exact
    brief: Brief, bests: Bests, best: Entry, aim: Aim, progress: Progress, worth: Worth, run: Run
) -> Result:
    """The result of a search whose best machine is known, with its reasons. worth: of a layout; aim: near the best."""
    progress("Asking what each limit costs", 0.0)
    bound = begun(_bound_of, (brief, best.layout), run)
    moves = single_moves(brief, best.layout, worth)
    assert all(move.change <= NOTHING for move in moves if move.fits), f"a single move betters {best.layout}"
    return Result(
        brief=brief,
        best=best,
        by_magnet_count=tuple(bests.by_count[count] for count in sorted(bests.by_count)),
        by_topology=tuple(bests.by_shape[name] for name in brief.topologies if name in bests.by_shape),
        textbook=textbook(brief),
        limits=limit_gains(
            brief, best.layout, aim, lambda share: progress("Asking what each limit costs", share)
        ),
        moves=moves,
        layouts_considered=bests.considered,
        scan_best=bests.scan_best,
        by_phases=tuple(bests.by_phases[phases] for phases in sorted(bests.by_phases)),
        bound=bound(),
    )


def _bound_of(asked: tuple[Brief, Layout]) -> WindingBound:
    """What no winding could exceed past the magnets of a layout, within a brief."""
    brief, layout = asked
    return brief_bound(brief, machine_emf(layout))


def winner(brief: Brief, count: int | None = None, run: Run = HERE) -> tuple[Entry, int]:
    """The best layout, without tables and reasons, and the number of layouts considered.

    count: the only number of magnets, or None. run: how the scan is run. Raises NothingFits with the reasons.
    """
    scanned = scan(brief, run, count)
    if not scanned.starts and count is not None:
        raise NothingFits((Reason(text=count_misses(count), changes=()),))
    found = best_of(brief, scanned.starts)
    if found is None:
        raise NothingFits(explain(brief))
    return found, scanned.considered
