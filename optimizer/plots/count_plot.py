"""What fewer magnets lose: the goal's best value for each magnet count."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

import numpy as np

from optimizer.brief.goal import GOALS, Goal
from optimizer.plots.palette import BLACK, GREY, VERMILION, topology_look
from optimizer.plots.style import Axes, set_finding, value_label
from optimizer.search.result import Entry, Result
from optimizer.words.kind_words import kind_mark, kind_words
from optimizer.words.wording import number, percent, plural, quantity

MOST_LABELS = 14


def count_plot(result: Result, axes: Axes) -> Axes:
    """The goal's value against the number of magnets, coil shape by marker, the winner ringed."""
    goal = GOALS[result.brief.goal]
    counts = [entry.layout.carrier.count for entry in result.by_magnet_count]
    values = [goal.value(entry.figures) for entry in result.by_magnet_count]
    axes.plot(counts, values, color=GREY, linewidth=1, zorder=1)
    for name in result.brief.topologies:
        _points(axes, name, result, goal)
    best = result.best.layout.carrier.count
    for count, value in _labelled(counts, values, best):
        value_label(axes, count, value, number(value), xytext=(0, 11 if count == best else 8))
    axes.plot(
        [best], [goal.value(result.best.figures)], "o", markersize=17, markerfacecolor="none",
        markeredgecolor=VERMILION, markeredgewidth=2, label="best",
    )  # fmt: skip
    _ticks(result, axes, [count for count, _ in _labelled(counts, values, best)])
    axes.set(xlabel="magnets", ylabel=f"{goal.label}, {goal.unit}")
    axes.set_xlim(min(counts) - 1, max(counts) + 1)
    axes.set_ylim(0, max(values) * 1.22)
    axes.legend(loc="upper left", title="coil shape", ncols=4, alignment="left")
    set_finding(axes, _title(result, goal))
    return axes


def count_loss_plot(result: Result, axes: Axes) -> Axes:
    """What each magnet count gives less than the best, in per cent."""
    goal = GOALS[result.brief.goal]
    best = goal.value(result.best.figures)
    counts = [entry.layout.carrier.count for entry in result.by_magnet_count]
    losses = [_loss(entry, goal, best) * 100 for entry in result.by_magnet_count]
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


def _points(axes: Axes, name: str, result: Result, goal: Goal) -> None:
    chosen = [entry for entry in result.by_magnet_count if entry.layout.winding.topology == name]
    if not chosen:
        return
    look = topology_look(name)
    axes.plot(
        np.array([entry.layout.carrier.count for entry in chosen]),
        np.array([goal.value(entry.figures) for entry in chosen]),
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


def _loss(entry: Entry, goal: Goal, best: float) -> float:
    return max(1 - goal.value(entry.figures) / best, 0.0)


def _title(result: Result, goal: Goal) -> str:
    best = result.best
    count, value = best.layout.carrier.count, goal.value(best.figures)
    words = f"{plural(count, 'magnet')} give {quantity(value, goal.unit)}"
    fewer = [entry for entry in result.by_magnet_count if entry.layout.carrier.count < count]
    if not fewer:
        return words
    compared = fewer[max(len(fewer) - 2, 0)]
    return f"{words}; {compared.layout.carrier.count} give {percent(_loss(compared, goal, value))} less"
