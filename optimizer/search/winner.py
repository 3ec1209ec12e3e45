"""The best layout of a brief alone, without tables and reasons: what a sweep asks for at each of its points."""

from __future__ import annotations

from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.jobs.chunks import HERE, Run
from optimizer.scan.scan import scan
from optimizer.search.feasibility import NothingFits, Reason, explain
from optimizer.search.refine import best_of
from optimizer.search.result import Entry


def winner(brief: Brief, count: int | None = None, run: Run = HERE) -> tuple[Entry, int]:
    """The best layout, with just `count` magnets when it is given, and the number of layouts considered.

    run: how the scan is run. Raises NothingFits with the reasons.
    """
    scanned = scan(brief, run, count)
    if not scanned.seeds and count is None:
        raise NothingFits(explain(brief))
    if not scanned.seeds:
        raise NothingFits((Reason(text=f"no layout with {count} magnets fits", changes=()),))
    found = best_of(brief, scanned.seeds)
    if found is None:
        raise NothingFits(explain(brief))
    return found, scanned.considered


def winning_layout(brief: Brief) -> Layout:
    """The best layout. Raises NothingFits."""
    return winner(brief)[0].layout
