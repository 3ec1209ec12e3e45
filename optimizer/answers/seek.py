"""The search as the page follows it: progress, the best so far, then everything found."""

from __future__ import annotations

import pickle
from typing import Any

from optimizer.answers.findings import findings
from optimizer.answers.flat import Flat
from optimizer.answers.page_values import brief_of, flat_layout
from optimizer.answers.preview import drawing_svg, picture_svg
from optimizer.answers.task import Tell, Told
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.loads.load_target import LoadTarget
from optimizer.search.feasibility import NothingFits
from optimizer.search.load_search import UNLIMITED, LoadResult, optimize_for_load, target_value
from optimizer.search.result import Entry, Result
from optimizer.search.search import optimize
from optimizer.words.kind_words import kind_words
from optimizer.words.load_words import answer_words, compared_words, target_words
from optimizer.words.wording import quantity, watts_text


def seek(wanted: Flat, tell: Tell) -> dict[str, Any]:
    """Search for a brief; ``{"found": what the page shows, "result": the result, pickled}``.

    Tells ``{"stage", "share"}`` and, whenever there is a better one, ``{"svg", "value", "words"}`` on the way.
    """
    brief = brief_of(wanted)
    goal, target = GOALS[brief.goal], brief.target

    def better(entry: Entry) -> None:
        value = _of_load(entry, target) if target else quantity(goal.value(entry.figures), goal.unit)
        tell({"svg": drawing_svg(entry.layout), "value": value, "words": _words(brief, entry)})

    def along(stage: str, share: float) -> None:
        tell({"stage": stage, "share": round(share, 4)})

    try:
        if target is None:
            result = optimize(brief, along, better)
            return {"found": _shown(result), "result": pickle.dumps((result, None))}
        answer = optimize_for_load(brief, target, along, better)
    except NothingFits as nothing:
        raise Told([("", str(nothing))]) from nothing
    return {"found": _shown(answer.result) | _for_load(answer), "result": pickle.dumps((answer.result, answer))}


def _for_load(answer: LoadResult) -> dict[str, Any]:
    """What is said first of a search for a load, and of the machines beside the winner."""
    result, verdict = answer.result, answer.verdict
    words = answer_words(verdict, result.best.figures.speed_rpm)
    return {
        "sentence": f"The goal was {target_words(verdict.target)}. It {words}.",
        "compared": compared_words(verdict, GOALS[result.brief.goal].label),
    }


def _of_load(entry: Entry, target: LoadTarget) -> str:
    """What the load of a search gets of a machine."""
    value = target_value(entry.layout, target)
    if target.kind == "load_power":
        return f"{watts_text(value)} for the load"
    return f"load works from {value:.3g}\u00a0rpm" if value < UNLIMITED else "load never works"


def _shown(result: Result) -> dict[str, Any]:
    """The winner, and the best by number of magnets, by coil shape and, when several were tried, by phases."""
    return {
        "best": _entry(result, result.best),
        "counts": [_entry(result, entry) for entry in result.by_magnet_count],
        "shapes": [_entry(result, entry) for entry in result.by_topology],
        "phases": [_entry(result, entry) for entry in result.by_phases],
        **findings(result),
    }


def _entry(result: Result, entry: Entry) -> dict[str, Any]:
    goal = GOALS[result.brief.goal]
    value, best = goal.value(entry.figures), goal.value(result.best.figures)
    return {
        "design": flat_layout(entry.layout),
        "picture": picture_svg(entry.layout),
        "count": entry.figures.magnet_count,
        "topology": entry.figures.topology,
        "phases": entry.figures.phases,
        "value": quantity(value, goal.unit),
        "load": _of_load(entry, result.load.target) if result.load else None,
        "number": value,
        "share": value / best,
        "words": _words(result.brief, entry),
        "best": entry == result.best,
    }


def _words(brief: Brief, entry: Entry) -> str:
    figures, kind = entry.figures, kind_words(brief, entry.layout)
    coil = (
        f"{figures.coils} {figures.topology} coils" if figures.coils > 1 else f"one {figures.topology} coil"
    )
    phases = f" in {figures.phases} phases" if figures.phases > 1 else ""
    wound = f"{figures.turns} turns of {figures.wire_diameter_mm:g}\u00a0mm"
    magnets = f"{figures.magnet_count} magnets" + (f" ({kind})" if kind else "")
    return f"{magnets}, {coil}{phases}, {wound}"
