"""The search: scan the whole grid, optimise from its best points with scipy, round to what a workshop can set.

Every family (magnet, count, coil shape) that may win its magnet count or its coil shape is followed; shapely judges
every finalist. Nothing is random: the same brief gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from optimizer.bounds.any_winding import brief_bound
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.jobs.chunks import HERE, Run, one_thread
from optimizer.scan.choices import Candidate, Family, layout_of
from optimizer.scan.scan import scan
from optimizer.search.baseline import textbook
from optimizer.search.feasibility import NothingFits, Reason, explain
from optimizer.search.neighbours import single_moves
from optimizer.search.reason_words import count_misses
from optimizer.search.refine import Finals, best_of, by_family
from optimizer.search.result import Entry, Result
from optimizer.search.sensitivity import limit_gains

Progress = Callable[[str, float], None]
"""Called with what is being done and the share of it that is done."""

Better = Callable[[Entry], None]
"""Called with each layout that is better than all before it."""

Judge = Callable[[Entry], tuple[float, ...]]
"""What the best machine of those found has the most of, first things first; of equals the goal decides."""

Families = Mapping[Family, Sequence[Candidate]]


@one_thread
def optimize(
    brief: Brief,
    progress: Progress = lambda stage, share: None,
    better: Better = lambda entry: None,
    run: Run | None = None,
    judge: Judge = lambda entry: (),
) -> Result:
    """Search every layout that fits the brief; raises `NothingFits` with the reasons when none does.

    run: where the scan's units are run, when not here; the answer is the same to the bit. judge: picks the best of the
    machines found, each of which has the most of the goal among those of its kind.
    """
    here = Run(progress=lambda done, total: progress("Scanning layouts", done / max(total, 1)))
    scanned = scan(brief, run or here)
    if not scanned.starts:
        raise NothingFits(explain(brief))
    finals, families = Finals(brief, better=better), by_family(scanned.starts)
    finals.hear(Entry(evaluate(layout_of(brief, scanned.starts[0]))))
    by_count = _winners(finals, families, lambda f: f.count, lambda s: progress("Refining", s * 0.7))
    by_shape = _winners(
        finals, families, lambda f: f.topology.name, lambda s: progress("Refining", 0.7 + s * 0.3)
    )
    by_phases = _winners(finals, families, lambda f: f.phases) if len(brief.phases) > 1 else {}
    entries = [*by_count.values(), *by_shape.values(), *by_phases.values()]
    if not entries:
        raise NothingFits(explain(brief))
    best = max(entries, key=lambda entry: (*judge(entry), GOALS[brief.goal].value(entry.figures)))
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
        scan_best=scanned.starts[0].value,
        by_phases=tuple(by_phases[phases] for phases in sorted(by_phases)),
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
