"""What cards, plots and reports show of a machine or of a search's answer, made the way the packs make it."""

from __future__ import annotations

from collections.abc import Mapping

from geometry.machine.layout import Layout
from optimizer.building.winding_card import WindingCard, winding_card
from optimizer.evaluation.chain import evaluation
from optimizer.evaluation.retention import retention
from optimizer.field.emf import machine_emf
from optimizer.loads.load_study import LoadStudy
from optimizer.packs.result_files import template_drawings
from optimizer.plots.result_plots import result_figures
from optimizer.plots.style import Figure
from optimizer.reports.pages import page
from optimizer.reports.pictures import pictures
from optimizer.reports.report import card_html, report_html
from optimizer.search.result import Result
from optimizer.words.caution_words import cautions


def card_of(layout: Layout) -> WindingCard:
    return winding_card(evaluation(layout))


def card_page(layout: Layout) -> str:
    return card_html(layout.title, template_drawings(layout), card_of(layout))


def plots_of(result: Result) -> dict[str, Figure]:
    return result_figures(result, machine_emf(result.best.layout))


def report_of(result: Result, plots: Mapping[str, Figure]) -> str:
    return report_html(result, pictures(plots), card_of(result.best.layout))


def load_page(study: LoadStudy) -> str:
    """The page of a load study, without its pictures."""
    values = {"held": retention(study.layout), "hazards": study.hazards, "cautions": cautions(study.figures)}
    return page("load.html", study=study, pictures={}, **values)
