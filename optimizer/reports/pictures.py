"""Figures drawn for pages and files: each once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from optimizer.plots.style import Figure, figure_png, figure_svg, finding
from optimizer.reports.pages import Picture, page, plot_files


def picture(figure: Figure) -> Picture:
    """A figure as SVG and PNG, with what it shows in words."""
    return Picture(figure_svg(figure), finding(figure), figure_png(figure))


def pictures(figures: Mapping[str, Figure]) -> dict[str, Picture]:
    """Each figure as a page shows it, without PNG."""
    return {name: Picture(figure_svg(figure), finding(figure)) for name, figure in figures.items()}


def drawn_files(figures: Mapping[str, Figure]) -> dict[str, bytes]:
    """Each figure as PNG and SVG, by the names of files."""
    return plot_files({name: picture(figure) for name, figure in figures.items()})


def page_files(name: str, figures: Mapping[str, Figure], **values: Any) -> dict[str, bytes]:
    """The page of the template `name`, and the figures that it shows as PNG and SVG, by name."""
    drawn = {name: picture(figure) for name, figure in figures.items()}
    return {name: page(name, pictures=drawn, **values).encode(), **plot_files(drawn)}
