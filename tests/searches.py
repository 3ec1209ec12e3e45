"""Searches that several tests ask for: each made once in a run, whichever worker comes first."""

from __future__ import annotations

from tiers import shared

from optimizer.brief.brief import Brief
from optimizer.search.result import Result
from optimizer.search.search import optimize


@shared
def searched(brief: Brief) -> Result:
    """What the search finds for a brief."""
    return optimize(brief)
