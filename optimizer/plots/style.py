"""How all plots look, colours and coil shapes too, and how they become bytes. The only door to matplotlib.

Nothing here touches pyplot or leaves a trace in the settings. Colours are Okabe and Ito's, told apart by the
colour-blind; shape, hatching or a letter always says the same again, so that nothing is lost in grey.
"""
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false
# matplotlib's stubs leave the types of its plotting options and settings unknown

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from textwrap import wrap
from typing import Any

import numpy as np
from matplotlib import colormaps, rc_context, rcdefaults, rcParams
from matplotlib.axes import Axes
from matplotlib.colors import ListedColormap
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Patch, PathPatch, Rectangle
from matplotlib.path import Path
from matplotlib.patheffects import withStroke
from numpy.typing import ArrayLike

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Real

BLACK, GREY, PALE = "#1a1a1a", "#6b6b6b", "#d9d9d9"
ORANGE, SKY, GREEN = "#e69f00", "#56b4e9", "#009e73"
BLUE, VERMILION, PURPLE = "#0072b2", "#d55e00", "#cc79a7"
__all__ = ["Axes", "Circle", "Figure", "Line2D", "Patch", "Path", "PathPatch", "Rectangle", "withStroke"]

DPI = 140
PAD = 0.1  # inches, around the axes
WIDTH = 8.0  # inches, of every figure
CHARACTER = 0.092  # inches, mean width of a title's letters

SETTINGS: dict[str, Any] = {
    "font.family": "DejaVu Sans",  # comes with matplotlib: the same everywhere
    "font.size": 9.5,
    "text.color": BLACK,
    "axes.labelcolor": BLACK,
    "axes.edgecolor": GREY,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.titlesize": 11,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlepad": 9,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": PALE,
    "grid.linewidth": 0.6,
    "xtick.color": BLACK,
    "ytick.color": BLACK,
    "hatch.linewidth": 0.6,
    "lines.linewidth": 1.8,
    "lines.markersize": 8,
    "legend.frameon": False,
    "savefig.facecolor": "white",
    "svg.fonttype": "path",
    "svg.hashsalt": "polepitch",
}


@dataclass(frozen=True, slots=True)
class Look:
    """How one kind of thing is drawn in every plot: colour, marker and hatching together."""

    color: str
    marker: str
    hatch: str


_LOOKS = (Look(GREEN, "o", ""), Look(ORANGE, "^", "///"), Look(PURPLE, "s", "\\\\\\"), Look(SKY, "D", "xxx"))


def machine_look(topology: str, phases: int) -> Look:
    """The look of a coil shape; with three phases dotted, and half way to white."""
    look = topology_look(topology)
    if phases == 1:
        return look
    paler = "".join(f"{(int(look.color[at : at + 2], 16) + 255) // 2:02x}" for at in (1, 3, 5))
    return Look(f"#{paler}", look.marker, f"{look.hatch}...")


def topology_look(name: str) -> Look:
    """The look of a coil shape; shapes beyond the fourth start over."""
    return _LOOKS[list(TOPOLOGIES).index(name) % len(_LOOKS)]


@contextmanager
def house_style() -> Generator[None]:
    """matplotlib's own settings with ours on top, whatever the user's; put back on leaving."""
    with rc_context():
        rcdefaults()
        for key, value in SETTINGS.items():
            rcParams[key] = value  # pyright: ignore[reportArgumentType]
        yield


def two_sided_map() -> ListedColormap:
    """Blue through white to red, without the darkest ends, so that black lines show everywhere."""
    return ListedColormap(colormaps["RdBu_r"](np.linspace(0.13, 0.87, 256)))


def new_figure(height: float, **options: Any) -> Figure:
    """An empty figure of the common width; `height` in inches."""
    return Figure(figsize=(WIDTH, height), **options)


def framed(height: float) -> Figure:
    """An empty figure, `height` inches high, that finds the places of its axes by itself when it is settled."""
    return new_figure(height, layout=ConstrainedLayoutEngine(w_pad=PAD, h_pad=PAD))


def tight(height: float) -> Figure:
    """As `framed`, `height` inches high, with less room around the axes."""
    return new_figure(height, layout="constrained")


def panels(figure: Figure, *plots: Callable[[Axes], object], across: bool = False, **options: Any) -> Figure:
    """An empty figure with plots in it, one above another or side by side, settled. options: of `subplots`."""
    rows, columns = (1, len(plots)) if across else (len(plots), 1)
    for axes, plot in zip(figure.subplots(rows, columns, squeeze=False, **options).flat, plots, strict=True):
        plot(axes)
    return settle(figure)


def settle(figure: Figure) -> Figure:
    """Place the axes once and for all: no writer has to do it again, nor to draw once for that alone."""
    engine = figure.get_layout_engine()
    if engine is not None:
        engine.execute(figure)
        figure.set_layout_engine(None)
    return figure


def set_finding(axes: Axes, text: str, width: float = WIDTH) -> None:
    """The title: what the plot shows, in words, broken to `width` inches."""
    axes.set_title(wrapped(text, width))


def wrapped(text: str, width: float = WIDTH) -> str:
    """A title in lines that `width` inches hold."""
    return "\n".join(wrap(text, int(width / CHARACTER)))


def finding(figure: Figure) -> str:
    """What a figure shows, in words: the titles of its panels."""
    titles = [" ".join(axes.get_title(loc="left").split("\n")) for axes in figure.axes]
    return ". ".join(title for title in titles if title)


def value_label(axes: Axes, x: float, y: float, text: str, **options: Any) -> None:
    """A value written just above its point or bar, x and y in the axes' units."""
    style: dict[str, Any] = {"xytext": (0, 4), "ha": "center", "va": "bottom", "fontsize": 8.5, **options}
    axes.annotate(text, (x, y), textcoords="offset points", **style)


def mark(axes: Axes, x: float, y: float, marker: str = "o", **options: Any) -> None:
    """The point that a plot is about, x and y in the axes' units."""
    axes.plot([x], [y], marker, color=VERMILION, markeredgecolor=BLACK, **options)


def over_a_period(axes: Axes, words: str = "electrical angle, degrees") -> None:
    """An axis for the angle over one electrical period, with a line at zero."""
    axes.axhline(0, color=GREY, linewidth=0.8)
    axes.set(xlabel=words, xlim=(0, 360))
    axes.set_xticks(range(0, 361, 60))


def bars_across(
    axes: Axes, names: Sequence[str], values: Sequence[float], looks: Sequence[tuple[str, str]], told: Sequence[str]
) -> None:
    """Horizontal bars, in the axis's unit, the first on top, with words beside each. looks: colour and hatching."""
    for place, (value, (color, hatch), words) in enumerate(zip(values, looks, told, strict=True)):
        axes.barh(place, value, height=0.64, color=color, edgecolor=BLACK, hatch=hatch)
        value_label(axes, value, place, words, xytext=(4, 0), ha="left", va="center")
    axes.set_yticks(range(len(names)), names)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.set_xlim(0, 1.45 * max([*values, 1e-9]))
    axes.grid(axis="y", visible=False)


def steady(values: ArrayLike) -> Real:
    """Values, an array of any shape and unit, to six digits of the largest: a sum's last bits never reach a file."""
    array = np.asarray(values, float)
    largest = float(np.nanmax(np.abs(array), initial=0.0))
    if largest == 0:
        return array
    return np.asarray(np.round(array, 5 - int(np.floor(np.log10(largest)))), np.float64)


def halo(width: float = 2.5) -> list[withStroke]:
    """A white rim, of `width` in pt, that keeps letters and lines readable on anything."""
    return [withStroke(linewidth=width, foreground="white")]


def figure_png(figure: Figure) -> bytes:
    """The figure as PNG, without date or program name."""
    return _written(figure, "png", {"Software": None})


def figure_svg(figure: Figure) -> bytes:
    """The figure as SVG with letters as outlines, without date or program name."""
    return _written(figure, "svg", {"Date": None, "Creator": None})


def _written(figure: Figure, kind: str, metadata: dict[str, None]) -> bytes:
    buffer = BytesIO()
    with house_style():
        figure.savefig(buffer, format=kind, dpi=DPI, metadata=metadata)
    return buffer.getvalue()
