"""The report of a search: one HTML file for a maker, which needs nothing else."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.brief.goal import GOALS
from optimizer.building.winding_card import WindingCard
from optimizer.evaluation.retention import retention
from optimizer.reports.machine_report import MachineReport
from optimizer.reports.pages import page
from optimizer.reports.pictures import Picture
from optimizer.search.result import Result
from optimizer.words.caution_words import cautions, told_cautions
from optimizer.words.figure_catalogue import build_sentence, headline_rows, machine_groups
from optimizer.words.load_words import compared_words, goal_sentence
from optimizer.words.result_reasons import method_sentences, move_rows, move_verdict, why_words
from optimizer.words.result_tables import (
    count_rows,
    phase_rows,
    phase_verdict,
    textbook_rows,
    topology_rows,
)
from optimizer.words.wording import many, quantity, signed_percent


def report_html(
    result: Result, drawn: Mapping[str, Picture], card: WindingCard, machine: MachineReport | None = None
) -> str:
    """The report as one HTML document; `drawn` are the pictures of `optimizer.plots.gallery.result_figures`.

    card: the winner's. machine: its numbers for its builder, to show bill of materials as well. Holds no
    date, no time and no link; the same result gives the same text.
    """
    return page("report.html", **_content(result), pictures=drawn, card=card, machine=machine)


def _content(result: Result) -> dict[str, object]:
    best, goal = result.best, GOALS[result.brief.goal]
    figures = best.figures
    return {
        "title": result.brief.title,
        "for_load": _for_load(result),
        "headline": headline_rows(best.layout, figures),
        "build": build_sentence(best.layout, figures),
        "groups": machine_groups(best.layout, figures),
        "why": why_words(result),
        "goal": goal,
        "counts": count_rows(result),
        "topologies": topology_rows(result),
        "phases": phase_rows(result),
        "phase_verdict": phase_verdict(result),
        "missing": [
            name
            for name in result.brief.topologies
            if name not in {e.figures.topology for e in result.by_topology}
        ],
        "textbook": textbook_rows(result),
        "considered": many(result.layouts_considered),
        "scan_best": quantity(result.scan_best, goal.unit),
        "refined": quantity(goal.value(figures), goal.unit),
        "refinement": signed_percent(goal.value(figures) / result.scan_best - 1),
        "moves": move_rows(result),
        "verdict": move_verdict(result),
        "method": method_sentences(best.layout, figures),
        "bites": told_cautions(result.hazards),
        "held": retention(best.layout),
        "cautions": cautions(best.layout, figures),
    }


def _for_load(result: Result) -> tuple[str, str] | None:
    """Of a search for a load: the load's answer, and what the layouts are compared by."""
    verdict = result.load
    if verdict is None:
        return None
    sentence = goal_sentence(verdict, result.best.figures.speed_rpm)
    return sentence, compared_words(verdict, GOALS[result.brief.goal].label)
