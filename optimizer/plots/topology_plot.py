"""The coil shapes on equal terms: the same magnets, space and wire, each as good as it can be."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

from optimizer.brief.goal import GOALS
from optimizer.plots.palette import BLACK, topology_look
from optimizer.plots.style import Axes, set_finding, value_label
from optimizer.search.result import Entry, Result
from optimizer.words.wording import difference, plural, quantity


def topology_plot(result: Result, axes: Axes) -> Axes:
    """The goal's best value for each coil shape, a bar each."""
    goal = GOALS[result.brief.goal]
    values = [goal.value(entry.figures) for entry in result.by_topology]
    for position, (entry, value) in enumerate(zip(result.by_topology, values, strict=True)):
        look = topology_look(entry.layout.winding.topology)
        axes.bar(position, value, width=0.6, color=look.color, edgecolor=BLACK, hatch=look.hatch)
        value_label(axes, position, value, quantity(value, goal.unit), fontsize=9.5)
    axes.set_xticks(range(len(values)), [_words(entry) for entry in result.by_topology])
    axes.set_ylabel(f"{goal.label}, {goal.unit}")
    axes.set_ylim(0, max(values) * 1.15)
    axes.set_xlim(-0.6, max(len(values), 2) - 0.4)
    axes.grid(axis="x", visible=False)
    set_finding(axes, _title(result))
    return axes


def _words(entry: Entry) -> str:
    figures = entry.figures
    coils = plural(figures.coils, "coil")
    return f"{figures.topology}\n{plural(figures.magnet_count, 'magnet')}, {coils} of {figures.turns} turns"


def _title(result: Result) -> str:
    goal = GOALS[result.brief.goal]
    ranked = sorted(result.by_topology, key=lambda entry: -goal.value(entry.figures))
    first, *others = [(entry.figures.topology, goal.value(entry.figures)) for entry in ranked]
    words = f"{first[0].capitalize()} coils give {quantity(first[1], goal.unit)}"
    behind = [f"{name} {difference(value, first[1])}" for name, value in others]
    return "; ".join([words, *behind]) if behind else f"{words}, the only shape tried that fits"
