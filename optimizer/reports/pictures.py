"""Figures and drawings as pages and folders take them."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from typing import NamedTuple

from optimizer.plots.style import Figure, figure_png, figure_svg, finding


class Picture(NamedTuple):
    """A figure as a page shows it: its data as a URI, and what it shows, in words."""

    uri: str
    alt: str


def pictures(figures: Mapping[str, Figure]) -> dict[str, Picture]:
    """Each figure for a page that needs nothing but itself."""
    return {name: Picture(svg_uri(figure_svg(figure)), finding(figure)) for name, figure in figures.items()}


def plot_files(figures: Mapping[str, Figure]) -> dict[str, bytes]:
    """Each figure as PNG and SVG."""
    return {
        f"{name}.{kind}": write(figure)
        for name, figure in figures.items()
        for kind, write in (("png", figure_png), ("svg", figure_svg))
    }


def svg_uri(svg: bytes) -> str:
    """An SVG as the source of a picture."""
    return "data:image/svg+xml;base64," + b64encode(svg).decode("ascii")
