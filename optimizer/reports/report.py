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
from optimizer.words.caution_words import cautions


def report_html(
    result: Result, drawn: Mapping[str, Picture], card: WindingCard, machine: MachineReport | None = None
) -> str:
    """The report as one HTML document; `drawn` are the pictures of `optimizer.plots.gallery.result_figures`.

    card: the winner's. machine: its numbers for its builder, to show bill of materials as well. Holds no
    date, no time and no link; the same result gives the same text.
    """
    figures = result.best.figures
    return page(
        "report.html",
        title=result.brief.title,
        result=result,
        figures=figures,
        goal=GOALS[result.brief.goal],
        pictures=drawn,
        card=card,
        machine=machine,
        held=retention(result.best.layout),
        hazards=result.hazards,
        cautions=cautions(figures),
    )
