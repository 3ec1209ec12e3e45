"""Searches that several tests ask for: each made once in a run, whichever worker comes first."""

from __future__ import annotations

from dataclasses import replace

from tiers import shared

from optimizer.brief.brief import Brief
from optimizer.loads.load_target import LoadTarget
from optimizer.search.load_search import LoadResult, optimize_for_load
from optimizer.search.result import Result
from optimizer.search.search import optimize


@shared
def searched(brief: Brief) -> Result:
    """What the search finds for a brief."""
    return optimize(brief)


def searched_for_load(brief: Brief, target: LoadTarget) -> LoadResult:
    """What the search finds for a load, within a brief that names it or that names none."""
    return _for_its_load(replace(brief, target=target))


@shared
def _for_its_load(brief: Brief) -> LoadResult:
    assert brief.target is not None
    return optimize_for_load(brief, brief.target)
