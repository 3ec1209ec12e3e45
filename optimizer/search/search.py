"""The search: scan the whole grid, optimise from its best points with scipy, round to what a workshop can set.

Every family (magnet, count, coil shape) that may win its magnet count or its coil shape is followed; shapely judges
every finalist. Nothing is random: the same brief gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from optimizer.bounds.proof import brief_bound
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.jobs.chunks import HERE, Progress, Run, one_thread
from optimizer.scan.choices import Candidate, Family, layout_of
from optimizer.scan.scan import scan
from optimizer.search.baseline import textbook
from optimizer.search.feasibility import NothingFits, Reason, explain
from optimizer.search.neighbours import Worth, single_moves
from optimizer.search.objective import Aim
from optimizer.search.reason_words import count_misses
from optimizer.search.refine import Finals, best_of, by_family
from optimizer.search.result import Entry, Result
from optimizer.search.sensitivity import limit_gains

NOTHING = 5e-5  # relative change of the goal that is told as none

Better = Callable[[Entry], None]
"""Called with each layout that is better than all before it."""

Families = Mapping[Family, Sequence[Candidate]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bests:
    """The best machine of each number of magnets, each coil shape and, where several are tried, number of phases.

    considered: layouts of the scan, whose best has `scan_best` of the goal, in its unit.
    """

    by_count: dict[int | str, Entry]
    by_shape: dict[int | str, Entry]
    by_phases: dict[int | str, Entry]
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
    run: Run | None = None,
) -> Result:
    """Search every layout that fits the brief; raises `NothingFits` with the reasons when none does.

    run: where the scan's units are run, when not here; the answer is the same to the bit.
    """
    bests = bests_of(brief, progress, better, run)
    goal = GOALS[brief.goal]
    best = max(bests.entries, key=lambda entry: goal.value(entry.figures))
    return explained(brief, bests, best, goal, progress, goal.worth)


@one_thread
def bests_of(
    brief: Brief, progress: Progress, better: Better = lambda entry: None, run: Run | None = None
) -> Bests:
    """The best machine of each kind, by the brief's goal; raises `NothingFits` when there is none."""
    here = Run(progress=lambda done, total: progress("Scanning layouts", done / max(total, 1)))
    scanned = scan(brief, run or here)
    if not scanned.starts:
        raise NothingFits(explain(brief))
    finals, families = Finals(brief, better=better), by_family(scanned.starts)
    first = Entry(evaluate(layout_of(brief, scanned.starts[0])))
    finals.hear(GOALS[brief.goal].value(first.figures), first)
    bests = Bests(
        by_count=_winners(finals, families, lambda f: f.count, lambda s: progress("Refining", s * 0.7)),
        by_shape=_winners(
            finals, families, lambda f: f.topology.name, lambda s: progress("Refining", 0.7 + s * 0.3)
        ),
        by_phases=_winners(finals, families, lambda f: f.phases) if len(brief.phases) > 1 else {},
        considered=scanned.considered,
        scan_best=scanned.starts[0].value,
    )
    if not bests.entries:
        raise NothingFits(explain(brief))
    return bests


@one_thread
def explained(brief: Brief, bests: Bests, best: Entry, aim: Aim, progress: Progress, worth: Worth) -> Result:
    """The result of a search whose best machine is known, with its reasons. worth: of a layout; aim: near the best."""
    progress("Asking what each limit costs", 0.0)
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
        bound=brief_bound(brief, machine_emf(best.layout)),
    )


def _winners(
    finals: Finals,
    families: Families,
    kind: Callable[[Family], int | str],
    progress: Callable[[float], None] = lambda share: None,
) -> dict[int | str, Entry]:
    """The best layout of each kind of family that has one."""
    groups: dict[int | str, list[Sequence[Candidate]]] = {}
    for family, starts in families.items():
        groups.setdefault(kind(family), []).append(starts)
    winners: dict[int | str, Entry] = {}
    for done, (key, group) in enumerate(groups.items(), 1):
        entry = finals.best_of(group)
        if entry is not None:
            winners[key] = entry
        progress(done / len(groups))
    return winners


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
