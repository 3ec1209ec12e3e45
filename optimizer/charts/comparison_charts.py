"""Machines side by side, and coil shapes on equal terms: rows of bars, and the shapes' harmonics."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from textwrap import fill

import numpy as np

from optimizer.motors.comparison import ComparisonEntry
from optimizer.plots.style import (
    BLACK,
    GREEN,
    ORANGE,
    PURPLE,
    SKY,
    Axes,
    Figure,
    Look,
    bars_across,
    house_style,
    machine_look,
    panels,
    set_finding,
    settle,
    tight,
    value_label,
    wrapped,
)
from optimizer.surveys.like_for_like import LikeForLike, ShapeEntry, Term
from optimizer.words.comparison_words import HEADINGS, finding_words
from optimizer.words.wording import number

PANELS: tuple[tuple[str, Callable[[ShapeEntry], float]], ...] = (
    ("EMF of a phase, V rms", lambda each: each.entry.figures.emf_rms_V),
    ("Machine's EMF/√R, V/√Ω", lambda each: each.emf_per_root_ohm),
    ("Matched power, W", lambda each: each.entry.figures.matched_power_W),
    ("Wire in the turns, m", lambda each: each.entry.figures.wire_length_m),
    ("Inductance of a phase, mH", lambda each: each.inductance * 1e3),
    ("Winding, hand motions", lambda each: each.effort.motions),
)
LOOKS = ((GREEN, ""), (ORANGE, "///"), (PURPLE, "\\\\\\"), (SKY, "xx"))
NAME = 26  # letters to a line
LEAST_TOLD = 0.05  # % of the fundamental: what has no bar to see is not written over its neighbours


def like_for_like_figures(comparison: LikeForLike) -> dict[str, Figure]:
    """Figures `equal_envelope`, `equal_copper`, `equal_wire`, as far as asked for, and `harmonics`."""
    shown = [term for term in comparison.terms if term.shape_entries]
    with house_style():
        figures = {f"equal_{term.equal}": _term_figure(term) for term in shown}
        if shown:
            figures["harmonics"] = panels(tight(3.4), lambda axes: harmonics_plot(shown[0], axes))
    return figures


def _term_figure(term: Term) -> Figure:
    title = wrapped(finding_words(term))
    figure = tight(1.3 + 0.78 * len(term.shape_entries) + 0.2 * len(title.splitlines()))
    panels = figure.subplots(2, len(PANELS) // 2, sharey=True)
    for axes, (label, value) in zip(panels.ravel(), PANELS, strict=True):
        bars_plot(term, label, value, axes)
    figure.suptitle(title, x=0.01, ha="left", fontsize=10, fontweight="bold")
    return settle(figure)


def bars_plot(term: Term, label: str, value: Callable[[ShapeEntry], float], axes: Axes) -> Axes:
    """One bar for each coil shape, the first on top; `label` names the unit."""
    values = [value(each) for each in term.shape_entries]
    looks = [(_look(each).color, _look(each).hatch) for each in term.shape_entries]
    bars_across(axes, [each.name for each in term.shape_entries], values, looks, [number(size) for size in values])
    axes.set_title(label, fontsize=9.5, fontweight="normal")
    axes.locator_params(axis="x", nbins=4)
    return axes


def harmonics_plot(term: Term, axes: Axes) -> Axes:
    """Each shape's harmonics between its terminals by order, in per cent of its fundamental, sign dropped."""
    share = 0.8 / len(term.shape_entries)
    for place, each in enumerate(term.shape_entries):
        look, name = _look(each), each.name
        sizes = np.array([abs(value) * 100 for _, value in each.harmonics])
        at = np.arange(sizes.size) + (place - (len(term.shape_entries) - 1) / 2) * share
        axes.bar(at, sizes, width=share, color=look.color, edgecolor=BLACK, hatch=look.hatch, label=name)
        for x, size in zip(at, sizes, strict=True):
            if size >= LEAST_TOLD:
                value_label(axes, float(x), float(size), f"{size:.1f}", fontsize=8, xytext=(0, 2))
    orders = [str(order) for order, _ in term.shape_entries[0].harmonics]
    axes.set_xticks(range(len(orders)), orders)
    axes.set(xlabel="harmonic order", ylabel="share of the fundamental\nbetween terminals, %")
    axes.margins(y=0.15)
    axes.grid(axis="x", visible=False)
    axes.legend(title="coil shape", alignment="left")
    minimum = min(term.shape_entries, key=lambda each: each.distortion)
    closest = f"{minimum.name} coils come closest to a sine, {number(minimum.distortion * 100, 2)} % harmonics"
    set_finding(axes, f"{HEADINGS[term.equal]}: {closest}")
    return axes


def _look(each: ShapeEntry) -> Look:
    return machine_look(each.entry.layout.winding.topology, each.entry.layout.phases)


def compare_figures(entries: Sequence[ComparisonEntry]) -> dict[str, Figure]:
    """The figure `machines`: a panel of bars for each of volts, watts and effort."""
    plots = [partial(machine_bars, entries, title, value) for title, value in _panels(entries)]
    with house_style():
        return {"machines": panels(tight(1.4 + 0.62 * len(entries)), *plots, across=True, sharey=True)}


def machine_bars(
    entries: Sequence[ComparisonEntry], title: str, value: Callable[[ComparisonEntry], float], axes: Axes
) -> Axes:
    """One bar for each machine, the first on top; `title` names the unit."""
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
        ("Most force, N", lambda entry: entry.hand_force or 0.0)
        if forced
        else ("Hand, mN·m", lambda entry: 1e3 * (entry.hand_torque or 0.0)),
    ]


def _volts_title(entries: Sequence[ComparisonEntry]) -> str:
    """Names what the volts are where they are all of one kind."""
    kinds = {entry.load_kind for entry in entries if not entry.failure}
    return f"At the load, V {kinds.pop()}" if len(kinds) == 1 else "At the load, V"


def _named(entry: ComparisonEntry, entries: Sequence[ComparisonEntry]) -> str:
    """The machine's name; with the kind of its volts where these differ."""
    name = fill(entry.machine.name, NAME)
    alike = len({one.load_kind for one in entries if not one.failure}) < 2
    return name if alike or entry.failure else f"{name}\n(V {entry.load_kind})"
