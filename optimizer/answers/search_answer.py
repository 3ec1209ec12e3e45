"""The search as the page follows it: its progress, the best so far, then the winner with its reasons and rivals."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import Any

from optimizer.answers.page_values import Flat, brief_of, flat_layout
from optimizer.answers.preview import drawing_svg, picture_svg
from optimizer.answers.refusal import Refused
from optimizer.brief.goal import GOALS
from optimizer.loads.load_target import LoadTarget
from optimizer.search.feasibility import NothingFits
from optimizer.search.load_search import UNLIMITED, LoadResult, optimize_for_load, target_value
from optimizer.search.result import Entry, Result
from optimizer.search.search import optimize
from optimizer.words.load_words import compared_words, goal_sentence
from optimizer.words.page_words import search_sentence
from optimizer.words.result_tables import (
    EntryRow,
    binding_limits,
    bound_words,
    count_rows,
    entry_words,
    move_verdict,
    slack_limits,
    textbook_rows,
    topology_rows,
)
from optimizer.words.wording import quantity, watts_text


def search(wanted: Flat, progress: Callable[[Any], None]) -> dict[str, Any]:
    """Search for a brief; ``{"found": what the page shows, "result": the results, pickled}``.

    On the way `progress` gets ``{"stage", "share"}`` and, of each better one, ``{"svg", "value", "words"}``.
    """
    brief = brief_of(wanted)
    goal, target = GOALS[brief.goal], brief.target

    def better(entry: Entry) -> None:
        value = _of_load(entry, target) if target else quantity(goal.value(entry.figures), goal.unit)
        progress({"svg": drawing_svg(entry.layout), "value": value, "words": entry_words(brief, entry)})

    def along(stage: str, share: float) -> None:
        progress({"stage": stage, "share": round(share, 4)})

    try:
        for_load = optimize_for_load(brief, target, along, better) if target else None
        result = for_load.result if for_load else optimize(brief, along, better)
    except NothingFits as nothing:
        raise Refused(str(nothing)) from nothing
    shown = _shown(result) | (_for_load(for_load) if for_load else {})
    return {"found": shown, "result": pickle.dumps((result, for_load))}


def _for_load(answer: LoadResult) -> dict[str, Any]:
    """What is said first of a search for a load, and of the machines beside the winner."""
    result, verdict = answer.result, answer.verdict
    return {
        "sentence": goal_sentence(verdict, result.best.layout.speed_rpm),
        "compared": compared_words(verdict, GOALS[result.brief.goal].label),
    }


def _of_load(entry: Entry, target: LoadTarget) -> str:
    """What the load of a search gets of a machine."""
    value = target_value(entry.layout, target)
    if target.kind == "load_power":
        return f"{watts_text(value)} for the load"
    return f"load works from {value:.3g}\u00a0rpm" if value < UNLIMITED else "load never works"


def _shown(result: Result) -> dict[str, Any]:
    """The winner, the best by number of magnets, coil shape and, when several were tried, phases, and why it won."""
    goal, book = GOALS[result.brief.goal], textbook_rows(result)
    return {
        "best": _entry(result, result.best),
        "counts": [_entry(result, entry) for entry in result.by_magnet_count],
        "shapes": [_entry(result, entry) for entry in result.by_topology],
        "phases": [_entry(result, entry) for entry in result.by_phases],
        "goal": goal.label,
        "unit": goal.unit,
        "sentence": search_sentence(result),
        "moves": move_verdict(result),
        "binding": [row._asdict() for row in binding_limits(result)],
        "slack": list(slack_limits(result)),
        "bound": result.bound and bound_words(result.bound),
        "textbook": book.verdict if book else None,
        "tables": {
            "count": [_cells(row) for row in count_rows(result)],
            "shape": [_cells(row) for row in topology_rows(result)],
        },
    }


def _cells(row: EntryRow) -> list[str]:
    return [row.name, row.magnets, row.coils, row.wire, row.value, row.change, *filter(None, (row.load,))]


def _entry(result: Result, entry: Entry) -> dict[str, Any]:
    goal = GOALS[result.brief.goal]
    value, best = goal.value(entry.figures), goal.value(result.best.figures)
    return {
        "design": flat_layout(entry.layout),
        "picture": picture_svg(entry.layout),
        "count": entry.layout.carrier.count,
        "topology": entry.layout.winding.topology,
        "phases": entry.layout.phases,
        "value": quantity(value, goal.unit),
        "load": _of_load(entry, result.load.target) if result.load else None,
        "number": value,
        "share": value / best,
        "words": entry_words(result.brief, entry),
        "best": entry == result.best,
    }
