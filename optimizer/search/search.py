"""The search: scan the whole grid, climb from its best points with scipy, settle on what a workshop can set.

Every family (magnet, count, coil shape) that may win its magnet count or its coil shape is climbed; shapely judges
every finalist. Nothing is random: the same brief gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable

from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.jobs.chunks import Run, one_thread
from optimizer.scan.choices import Family, layout_of
from optimizer.scan.scan import Scan, Seed, scan
from optimizer.search.baseline import textbook
from optimizer.search.feasibility import NothingFits, explain
from optimizer.search.neighbours import single_moves
from optimizer.search.refine import Finals, by_family, unheard
from optimizer.search.result import Entry, Result
from optimizer.search.sensitivity import limit_gains

Progress = Callable[[str, float], None]
"""Called with what is being done and the share of it that is done."""

Better = Callable[[Entry], None]
"""Called with each layout that is better than all before it."""

Judge = Callable[[Entry], tuple[float, ...]]
"""What the best machine of those found has the most of, first things first; of equals the goal decides."""


def _silent(stage: str, share: float) -> None:
    del stage, share


def _unmoved(share: float) -> None:
    del share


def _by_the_goal_alone(entry: Entry) -> tuple[float, ...]:
    del entry
    return ()


@one_thread
def optimize(
    brief: Brief,
    progress: Progress = _silent,
    better: Better = unheard,
    run: Run | None = None,
    judge: Judge = _by_the_goal_alone,
) -> Result:
    """Search every layout that fits the brief; raises `NothingFits` with the reasons when none does.

    run: where the scan's units are run, when not here; the answer is the same to the bit. judge: picks the best of the
    machines found, each of which has the most of the goal among those of its kind.
    """
    scanned = _scanned(brief, progress, run)
    if not scanned.seeds:
        raise NothingFits(explain(brief))
    finals = Finals(brief, better=better)
    finals.hear(_first(brief, scanned.seeds[0]))
    by_count = _winners(finals, _grouped(scanned, lambda f: f.count), lambda s: progress("Refining", s * 0.7))
    by_shape = _winners(
        finals, _grouped(scanned, lambda f: f.topology.name), lambda s: progress("Refining", 0.7 + s * 0.3)
    )
    by_phases = _winners(finals, _grouped(scanned, lambda f: f.phases) if len(brief.phases) > 1 else {})
    goal = GOALS[brief.goal]
    entries = [*by_count.values(), *by_shape.values(), *by_phases.values()]
    if not entries:
        raise NothingFits(explain(brief))
    best = max(entries, key=lambda entry: (*judge(entry), goal.value(entry.figures)))
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
        by_phases=tuple(by_phases[phases] for phases in sorted(by_phases)),
    )


def _scanned(brief: Brief, progress: Progress, run: Run | None) -> Scan:
    if run is not None:
        return scan(brief, run)
    return scan(brief, Run(progress=lambda done, total: progress("Scanning layouts", done / max(total, 1))))


def _grouped(scanned: Scan, key: Callable[[Family], int | str]) -> dict[int | str, list[list[Seed]]]:
    """The seeds of every family, grouped, best first."""
    groups: dict[int | str, list[list[Seed]]] = {}
    for family, seeds in by_family(scanned.seeds).items():
        groups.setdefault(key(family), []).append(seeds)
    return groups


def _winners(
    finals: Finals, groups: dict[int | str, list[list[Seed]]], progress: Callable[[float], None] = _unmoved
) -> dict[int | str, Entry]:
    winners: dict[int | str, Entry] = {}
    for done, (key, families) in enumerate(groups.items()):
        entry = finals.best_of(families)
        if entry is not None:
            winners[key] = entry
        progress((done + 1) / len(groups))
    return winners


def _first(brief: Brief, seed: Seed) -> Entry:
    """The scan's best point as a layout."""
    layout = layout_of(brief, seed.family, seed.dimensions, seed.turns, seed.wire)
    return Entry(evaluate(layout))
