"""Figures and drawings as pages and folders take them."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from typing import NamedTuple

from optimizer.plots.style import Figure, figure_png, figure_svg, finding


class Picture(NamedTuple):
    """A figure drawn once, for a page and for a file: its SVG, and what it shows, in words."""

    svg: bytes
    alt: str

    @property
    def uri(self) -> str:
        """The source of a picture in a page that needs nothing but itself."""
        return svg_uri(self.svg)


def pictures(figures: Mapping[str, Figure]) -> dict[str, Picture]:
    """Each figure drawn."""
    return {name: Picture(figure_svg(figure), finding(figure)) for name, figure in figures.items()}


def plot_files(figures: Mapping[str, Figure], drawn: Mapping[str, Picture]) -> dict[str, bytes]:
    """Each figure as PNG and SVG; drawn: the pictures of all of them."""
    return {
        f"{name}.{kind}": content
        for name, figure in figures.items()
        for kind, content in (("png", figure_png(figure)), ("svg", drawn[name].svg))
    }


def svg_uri(svg: bytes) -> str:
    """An SVG as the source of a picture."""
    return "data:image/svg+xml;base64," + b64encode(svg).decode("ascii")
