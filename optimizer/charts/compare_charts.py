"""Machines side by side: volts and watts at the load, what the hand gives for them."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import fill

from optimizer.motors.comparison import ComparisonEntry
from optimizer.plots.palette import BLACK, GREEN, ORANGE, PURPLE, SKY
from optimizer.plots.style import Axes, Figure, house_style, settle, tight, value_label
from optimizer.words.wording import number

LOOKS = ((GREEN, ""), (ORANGE, "///"), (PURPLE, "\\\\\\"), (SKY, "xx"))
NAME = 26  # letters to a line


def compare_figures(entries: Sequence[ComparisonEntry]) -> dict[str, Figure]:
    """The figure `machines`: a panel of bars for each of volts, watts and effort."""
    with house_style():
        figure = tight(1.4 + 0.62 * len(entries))
        panels = figure.subplots(1, 4, sharey=True)
        for axes, (title, value) in zip(panels, _panels(entries), strict=True):
            bars_plot(entries, title, value, axes)
        return {"machines": settle(figure)}


def bars_plot(
    entries: Sequence[ComparisonEntry], title: str, value: Callable[[ComparisonEntry], float], axes: Axes
) -> Axes:
    """One bar for each machine, the first on top."""
    places = range(len(entries))
    values = [value(entry) for entry in entries]
    for place, size in zip(places, values, strict=True):
        color, hatch = LOOKS[place % len(LOOKS)]
        axes.barh(place, size, height=0.6, color=color, edgecolor=BLACK, hatch=hatch)
        value_label(
            axes, size, place, number(size) if size else "none", xytext=(4, 0), ha="left", va="center"
        )
    axes.set_yticks(places, [_named(entry, entries) for entry in entries], fontsize=8.5)
    axes.set_ylim(len(entries) - 0.4, -0.6)
    axes.set_xlim(0, 1.5 * max([*values, 1e-9]))
    axes.set_title(title, fontsize=9.5)
    axes.locator_params(axis="x", nbins=3)
    axes.grid(axis="y", visible=False)
    return axes


def _panels(entries: Sequence[ComparisonEntry]) -> list[tuple[str, Callable[[ComparisonEntry], float]]]:
    forced = any(entry.hand_force is not None for entry in entries)
    return [
        (_volts_title(entries), lambda entry: entry.volts),
        ("At the load, W", lambda entry: entry.watts),
        ("From the hand, W", lambda entry: entry.hand_watts),
        ("Most force, N", _force) if forced else ("Hand, mN·m", _torque),
    ]


def _force(entry: ComparisonEntry) -> float:
    return entry.hand_force or 0.0


def _torque(entry: ComparisonEntry) -> float:
    return 1e3 * (entry.hand_torque or 0.0)


def _volts_title(entries: Sequence[ComparisonEntry]) -> str:
    """Names what the volts are where they are all of one kind."""
    kinds = {entry.load_kind for entry in entries if not entry.failure}
    return f"At the load, V {kinds.pop()}" if len(kinds) == 1 else "At the load, V"


def _named(entry: ComparisonEntry, entries: Sequence[ComparisonEntry]) -> str:
    """The machine's name; with the kind of its volts where these differ."""
    name = fill(entry.machine.name, NAME)
    alike = len({one.load_kind for one in entries if not one.failure}) < 2
    return name if alike or entry.failure else f"{name}\n(V {entry.load_kind})"
