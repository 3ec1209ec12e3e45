"""The plots of a search: what fewer magnets lose, the coil shapes on equal terms, the textbook beside the winner.

All plots of a search or of one machine come from here, by name.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

import numpy as np

from optimizer.brief.goal import GOALS, Goal
from optimizer.evaluation.chain import significant
from optimizer.field.emf import MachineEmf
from optimizer.plots.air_gap_plot import air_gap_plot
from optimizer.plots.any_winding_plot import any_winding_plot
from optimizer.plots.field_plot import field_plot
from optimizer.plots.layout_plot import layout_figure
from optimizer.plots.style import (
    BLACK,
    GREY,
    ORANGE,
    SKY,
    VERMILION,
    Axes,
    Figure,
    framed,
    house_style,
    panels,
    set_finding,
    topology_look,
    value_label,
)
from optimizer.plots.waveform_plot import harmonics_plot, waveform_plot
from optimizer.search.result import Entry, Result, Textbook
from optimizer.words.result_tables import kind_mark, kind_words
from optimizer.words.wording import compared, difference, number, percent, plural, quantity

MOST_LABELS = 14
Plots: TypeAlias = dict[str, Callable[[], Figure]]
"""Figures by name, each made when it is called, in the house's style."""

LEAST_TOLD = 1e-3  # of the largest value: less is written as nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What machines are shown by: the value of a goal, or what the load gets in a search for one; in `unit`."""

    label: str
    unit: str
    goal: Goal | None

    def value(self, entry: Entry) -> float:
        """Of one machine, in `unit`."""
        return self.goal.value(entry.figures) if self.goal else significant(entry.load_watts or 0.0)


def worth(result: Result) -> Worth:
    """The goal's value; of a search for a load what the load gets, W, unless it gets nothing even of the best."""
    if result.best.load_watts:
        return Worth(label="Power into the load", unit="W", goal=None)
    goal = GOALS[result.brief.goal]
    return Worth(label=goal.label, unit=goal.unit, goal=goal)


def count_plot(result: Result, axes: Axes) -> Axes:
    """The goal's value against the number of magnets, coil shape by marker, the winner ringed."""
    shown = worth(result)
    counts = [entry.layout.carrier.count for entry in result.by_magnet_count]
    values = [shown.value(entry) for entry in result.by_magnet_count]
    axes.plot(counts, values, color=GREY, linewidth=1, zorder=1)
    for name in result.brief.topologies:
        _points(axes, name, result, shown)
    best = result.best.layout.carrier.count
    for count, value in _labelled(counts, values, best):
        told = number(value) if value > LEAST_TOLD * max(values) else "0"
        value_label(axes, count, value, told, xytext=(0, 11 if count == best else 8))
    axes.plot(
        [best], [shown.value(result.best)], "o", markersize=17, markerfacecolor="none",
        markeredgecolor=VERMILION, markeredgewidth=2, label="best",
    )  # fmt: skip
    _ticks(result, axes, [count for count, _ in _labelled(counts, values, best)])
    axes.set_ylabel(f"{shown.label}, {shown.unit}")
    axes.set_xlim(min(counts) - 1, max(counts) + 1)
    axes.set_ylim(0, max(values) * 1.22)
    axes.legend(loc="upper left", title="coil shape", ncols=4, alignment="left")
    set_finding(axes, _count_finding(result, shown))
    return axes


def count_loss_plot(result: Result, axes: Axes) -> Axes:
    """What each magnet count gives less than the best, in per cent."""
    shown = worth(result)
    best = shown.value(result.best)
    counts = [entry.layout.carrier.count for entry in result.by_magnet_count]
    losses = [_loss(entry, shown, best) * 100 for entry in result.by_magnet_count]
    axes.bar(counts, losses, width=1.1, color="#d3d3d3", edgecolor=BLACK, linewidth=0.8, hatch="\\\\\\")
    for count, loss in _labelled(counts, losses, result.best.layout.carrier.count):
        value_label(axes, count, loss, percent(loss / 100), xytext=(0, 2))
    _ticks(result, axes, [count for count, _ in _labelled(counts, losses, result.best.layout.carrier.count)])
    axes.set(xlabel=_magnets_label(result), ylabel="loss against\nthe best, %", xlim=(min(counts) - 1, max(counts) + 1))
    axes.set_ylim(0, max(*losses, 1.0) * 1.25)
    axes.grid(axis="x", visible=False)
    return axes


def _ticks(result: Result, axes: Axes, counts: list[int]) -> None:
    """Numbers of magnets, each with the letter of its kind where there is more than one."""
    marks = {entry.layout.carrier.count: kind_mark(result.brief, entry.layout) for entry in result.by_magnet_count}
    axes.set_xticks(counts, [f"{count}\n{marks[count]}".strip() for count in counts])


def _magnets_label(result: Result) -> str:
    """What is counted, and what the letters stand for, two a line."""
    kinds = sorted({kind_words(result.brief, entry.layout) for entry in result.by_magnet_count} - {""})
    lines = ["   ".join(kinds[at : at + 2]) for at in range(0, len(kinds), 2)]
    return "\n".join(["magnets", *lines])


def _points(axes: Axes, name: str, result: Result, shown: Worth) -> None:
    chosen = [entry for entry in result.by_magnet_count if entry.layout.winding.topology == name]
    if not chosen:
        return
    look = topology_look(name)
    axes.plot(
        np.array([entry.layout.carrier.count for entry in chosen]),
        np.array([shown.value(entry) for entry in chosen]),
        linestyle="none", marker=look.marker, color=look.color, markeredgecolor=BLACK, label=name,
    )  # fmt: skip


def _labelled(counts: list[int], values: list[float], best: int) -> list[tuple[int, float]]:
    """The counts that are written out: every one, or every so many and the best when they stand too close."""
    every = -(-len(counts) // MOST_LABELS)
    pairs = zip(counts, values, strict=True)
    return [
        (c, v)
        for i, (c, v) in enumerate(pairs)
        if c == best or (i % every == 0 and abs(c - best) >= 2 * every)
    ]


def _loss(entry: Entry, shown: Worth, best: float) -> float:
    return max(1 - shown.value(entry) / best, 0.0)


def _count_finding(result: Result, shown: Worth) -> str:
    best = result.best
    count, value = best.layout.carrier.count, shown.value(best)
    words = f"{plural(count, 'magnet')} give {quantity(value, shown.unit)}"
    fewer = [entry for entry in result.by_magnet_count if entry.layout.carrier.count < count]
    if not fewer:
        return words
    aside = fewer[max(len(fewer) - 2, 0)]
    return f"{words}; {aside.layout.carrier.count} give {percent(_loss(aside, shown, value))} less"


def topology_plot(result: Result, axes: Axes) -> Axes:
    """The goal's best value for each coil shape, a bar each."""
    shown = worth(result)
    values = [shown.value(entry) for entry in result.by_topology]
    for position, (entry, value) in enumerate(zip(result.by_topology, values, strict=True)):
        look = topology_look(entry.layout.winding.topology)
        axes.bar(position, value, width=0.6, color=look.color, edgecolor=BLACK, hatch=look.hatch)
        value_label(axes, position, value, quantity(value, shown.unit), fontsize=9.5)
    axes.set_xticks(range(len(values)), [_machine(entry) for entry in result.by_topology])
    axes.set_ylabel(f"{shown.label}, {shown.unit}")
    axes.set_ylim(0, max(values) * 1.15)
    axes.set_xlim(-0.6, max(len(values), 2) - 0.4)
    axes.grid(axis="x", visible=False)
    set_finding(axes, _shape_finding(result, shown))
    return axes


def _machine(entry: Entry) -> str:
    layout, winding = entry.layout, entry.layout.winding
    magnets, coils = plural(layout.carrier.count, "magnet"), plural(layout.coils, "coil")
    return f"{winding.topology}\n{magnets}, {coils} of {winding.turns} turns"


def _shape_finding(result: Result, shown: Worth) -> str:
    ranked = sorted(result.by_topology, key=lambda entry: -shown.value(entry))
    first, *others = [(entry.layout.winding.topology, shown.value(entry)) for entry in ranked]
    words = f"{first[0].capitalize()} coils give {quantity(first[1], shown.unit)}"
    behind = [f"{name} {difference(value, first[1])}" for name, value in others]
    return "; ".join([words, *behind]) if behind else f"{words}, the only shape tried that fits"


def textbook_plot(book: Textbook, best: Entry, axes: Axes) -> Axes:
    """EMF in V rms: the sizing equation's promise, the textbook layout's own, the winner's."""
    given, found = significant(book.entry.figures.emf_rms_V), significant(best.figures.emf_rms_V)
    ours, its = best.layout.carrier, book.entry.layout.carrier
    other = ours.magnet != its.magnet
    bars = (
        ("sizing equation promises\n(textbook layout)", book.sizing_equation_V, "white", "///"),
        ("textbook layout\nreally gives", given, SKY, ""),
        ("the search's\nlayout gives", found, ORANGE, "xx"),
    )
    for position, (_, volts, color, hatch) in enumerate(bars):
        axes.bar(position, volts, width=0.6, color=color, edgecolor=BLACK, hatch=hatch)
        value_label(axes, position, volts, quantity(volts, "V"), fontsize=9.5)
    magnets = (f"\n{each.count} × {each.magnet.label}" if other else "" for each in (its, its, ours))
    axes.set_xticks(range(len(bars)), [name + words for (name, *_), words in zip(bars, magnets, strict=True)])
    axes.set(ylabel="EMF, V rms")
    axes.set_ylim(0, max(volts for _, volts, *_ in bars) * 1.15)
    axes.grid(axis="x", visible=False)
    set_finding(
        axes,
        "The textbook layout gives"
        f" {compared(given, book.sizing_equation_V, 'EMF', 'its equation promises')}; the search's layout"
        f" gives {compared(found, given, 'EMF', 'the textbook layout')}",
    )
    return axes


def layout_plots(emf: MachineEmf) -> Plots:
    """Figures of one machine: `layout`, `waveform`, `field_map`, `emf_by_air_gap`."""
    layout = emf.layout
    return {
        "layout": lambda: layout_figure(layout),
        "waveform": lambda: panels(
            framed(3.7), partial(waveform_plot, emf), partial(harmonics_plot, emf.phases[0]),
            across=True, width_ratios=(1.7, 1),
        ),
        "field_map": lambda: panels(framed(6.2), partial(field_plot, layout)),
        "emf_by_air_gap": lambda: panels(framed(3.6), partial(air_gap_plot, layout)),
    }  # fmt: skip


def result_plots(result: Result, emf: MachineEmf) -> Plots:
    """Figures of a search: those of its winner, `emf_by_magnet_count`, `by_topology`, perhaps `textbook` and
    `any_winding`.

    emf: of the winner. Each shows the goal's value: the EMF, or the power when that was asked for.
    """
    plots = layout_plots(emf)
    plots["emf_by_magnet_count"] = lambda: panels(
        framed(5.6), partial(count_plot, result), partial(count_loss_plot, result), height_ratios=(2.2, 1)
    )
    plots["by_topology"] = lambda: panels(framed(3.6), partial(topology_plot, result))
    if (book := result.textbook) is not None:
        plots["textbook"] = lambda: panels(framed(3.6), partial(textbook_plot, book, result.best))
    if (bound := result.bound) is not None:
        plots["any_winding"] = lambda: panels(framed(4.6), partial(any_winding_plot, emf.layout, bound))
    return plots


def layout_figures(emf: MachineEmf) -> dict[str, Figure]:
    """All of `layout_plots`, made."""
    return _made(layout_plots(emf))


def result_figures(result: Result, emf: MachineEmf) -> dict[str, Figure]:
    """All of `result_plots`, made; emf: of the winner."""
    return _made(result_plots(result, emf))


def _made(plots: Plots) -> dict[str, Figure]:
    with house_style():
        return {name: make() for name, make in plots.items()}
