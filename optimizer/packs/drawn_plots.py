"""The plots of a search, drawn: here, or one by one in other processes."""

from __future__ import annotations

from collections.abc import Callable

from optimizer.evaluation.chain import evaluation
from optimizer.field.emf import MachineEmf
from optimizer.plots.result_plots import result_figures, result_plots
from optimizer.plots.style import house_style
from optimizer.reports.pages import Picture
from optimizer.reports.pictures import picture
from optimizer.search.result import Result


def plot_names(result: Result) -> list[str]:
    """The names of all plots of a search."""
    return list(result_plots(result, evaluation(result.best.layout).emf))


def drawn_plot(result: Result, name: str) -> Picture:
    """The plot of this name."""
    with house_style():
        figure = result_plots(result, evaluation(result.best.layout).emf)[name]()
    return picture(figure)


def drawn_plots(result: Result, emf: MachineEmf, told: Callable[[int, int], None]) -> dict[str, Picture]:
    """All plots by name; emf: of the winner. told: plots done, in all."""
    figures, drawn = result_figures(result, emf), dict[str, Picture]()
    for name, figure in figures.items():
        drawn[name] = picture(figure)
        told(len(drawn), len(figures))
    return drawn
