"""Machines side by side: volts and watts at the load, what the hand gives for them."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from textwrap import fill

from optimizer.motors.comparison import ComparisonEntry
from optimizer.plots.palette import GREEN, ORANGE, PURPLE, SKY
from optimizer.plots.style import Axes, Figure, bars_across, house_style, panels, tight
from optimizer.words.wording import number

LOOKS = ((GREEN, ""), (ORANGE, "///"), (PURPLE, "\\\\\\"), (SKY, "xx"))
NAME = 26  # letters to a line


def compare_figures(entries: Sequence[ComparisonEntry]) -> dict[str, Figure]:
    """The figure `machines`: a panel of bars for each of volts, watts and effort."""
    plots = [partial(bars_plot, entries, title, value) for title, value in _panels(entries)]
    with house_style():
        return {"machines": panels(tight(1.4 + 0.62 * len(entries)), *plots, across=True, sharey=True)}


def bars_plot(
    entries: Sequence[ComparisonEntry], title: str, value: Callable[[ComparisonEntry], float], axes: Axes
) -> Axes:
    """One bar for each machine, the first on top."""
    values = [value(entry) for entry in entries]
    looks = [LOOKS[place % len(LOOKS)] for place in range(len(entries))]
    told = [number(size) if size else "none" for size in values]
    bars_across(axes, [_named(entry, entries) for entry in entries], values, looks, told)
    axes.set_title(title, fontsize=9.5)
    axes.locator_params(axis="x", nbins=3)
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
