"""Sweeps and fronts: the goal along one quantity, its map over two, and volts against what they cost."""

from __future__ import annotations

from functools import partial

import numpy as np

from geometry.curves.curve import Real
from geometry.files.key_tables import label_of, unit_of
from optimizer.brief.goal import GOALS
from optimizer.plots.style import (
    BLACK,
    GREY,
    Axes,
    Figure,
    house_style,
    panels,
    set_finding,
    steady,
    tight,
    topology_look,
    value_label,
)
from optimizer.search.result import Entry
from optimizer.surveys.front import PRICES, Front, Price
from optimizer.surveys.sweeps import Axis, Setting, Sweep
from optimizer.words.wording import SPACE, number, percent, plural, quantity

MOST_LABELS = 14
HIDDEN = 0.01  # share of an axis within which a dot lies under a mark
MOST_CELLS = 160  # of a map whose cells are written in
NAMES = {
    "speed.rpm": ("speed", "rpm"),
    "carrier.count": ("magnets", ""),
}  # beside what a key itself says


def sweep_figures(sweep: Sweep) -> dict[str, Figure]:
    """The figure `sweep`; nothing when no point fits."""
    if not any(point.entry for point in sweep.points):
        return {}
    with house_style():
        if len(sweep.axes) == 1:
            plots = partial(line_plot, sweep), partial(magnets_plot, sweep)
            return {"sweep": panels(tight(5.4), *plots, sharex=True, height_ratios=(2, 1))}
        height = min(2 + 0.42 * len(sweep.axes[0].values), 8)
        return {"sweep": panels(tight(height), partial(map_plot, sweep))}


def front_figures(front: Front) -> dict[str, Figure]:
    """The figure `front`."""
    with house_style():
        return {"front": panels(tight(3.8), lambda axes: front_plot(front, axes))}


def axis_label(axis: Axis) -> str:
    """What the axis varies, with its unit: "air gap, mm"."""
    name, unit = axis_name(axis.key)
    return f"{name}, {unit}" if unit else name


def at_words(axis: Axis, value: Setting) -> str:
    """One point of an axis in words."""
    name, unit = axis_name(axis.key)
    return f"{name} {short(value)}{SPACE}{unit}" if unit else f"{name}: {short(value)}"


def axis_name(key: str) -> tuple[str, str]:
    """A key in words, and its unit: ("air gap", "mm"); of a list's entry with its number, "magnets 1: diameter"."""
    if key in NAMES:
        return NAMES[key]
    *_, table, last = ("", *key.split("."))
    entry = table.replace("[", " ").replace("]", ": ") if table.endswith("]") else ""
    label = label_of(last)
    return entry + label[:1].lower() + label[1:], unit_of(last)


def short(value: Setting) -> str:
    """A value for a label, numbers to four digits."""
    return value if isinstance(value, str) else f"{float(value):.4g}"


def line_plot(sweep: Sweep, axes: Axes) -> Axes:
    """The goal's best value along the axis; coil shape by marker; a cross at the foot where nothing fits."""
    goal = GOALS[sweep.brief.goal]
    at = _places(sweep.axes[0])
    values = steady([goal.value(p.entry.figures) if p.entry else np.nan for p in sweep.points])
    axes.plot(at, values, color=GREY, linewidth=1, zorder=1)
    for name in dict.fromkeys(p.entry.layout.winding.topology for p in sweep.points if p.entry):
        own = [i for i, p in enumerate(sweep.points) if p.entry and p.entry.layout.winding.topology == name]
        look = topology_look(name)
        axes.plot(at[own], values[own], look.marker, color=look.color, markeredgecolor=BLACK, label=name)
    empty = np.flatnonzero(np.isnan(values))
    if empty.size:
        axes.plot(at[empty], np.zeros(empty.size), "x", color=BLACK, label="nothing fits", clip_on=False)
    every = -(-len(at) // MOST_LABELS)
    for i in range(0, len(at), every):
        if not np.isnan(values[i]):
            value_label(axes, float(at[i]), float(values[i]), number(float(values[i])), xytext=(0, 7))
    axes.set_ylabel(f"{goal.label}, {goal.unit}")
    axes.set_ylim(0, 1.2 * float(np.nanmax(values)))
    axes.legend(loc="lower left", ncols=4, fontsize=8.5)
    set_finding(axes, _line_finding(sweep, values))
    return axes


def magnets_plot(sweep: Sweep, axes: Axes) -> Axes:
    """How many magnets the best layout has along the axis."""
    at = _places(sweep.axes[0])
    counts = np.array([p.entry.layout.carrier.count if p.entry else np.nan for p in sweep.points])
    axes.step(at, counts, where="mid", color=GREY, linewidth=1)
    axes.plot(at, counts, "s", color=BLACK, markersize=5)
    axes.set(ylabel="magnets", xlabel=axis_label(sweep.axes[0]))
    axes.set_ylim(0, 1.25 * float(np.nanmax(counts)))
    if not sweep.axes[0].numeric or len(at) <= MOST_LABELS:
        axes.set_xticks(at, [short(value) for value in sweep.axes[0].values])
    return axes


def _places(axis: Axis) -> Real:
    values = axis.values
    return np.array(
        [float(v) for v in values] if axis.numeric else np.arange(len(values), dtype=float), np.float64
    )


def _line_finding(sweep: Sweep, values: Real) -> str:
    goal, axis = GOALS[sweep.brief.goal], sweep.axes[0]
    best, worst = int(np.nanargmax(values)), int(np.nanargmin(values))
    words = f"{quantity(float(values[best]), goal.unit)} at {at_words(axis, axis.values[best])}"
    if best != worst:
        unit = axis_name(axis.key)[1]
        place = f"{short(axis.values[worst])}{SPACE}{unit}" if unit else short(axis.values[worst])
        words += f", {quantity(float(values[worst]), goal.unit)} at {place}"
    return words + (" (the winner's layout, not searched again)" if sweep.fixed else "")


def map_plot(sweep: Sweep, axes: Axes) -> Axes:
    """The goal's best value over two axes, the first upwards; every cell is written in when there are few."""
    goal, (rows, columns) = GOALS[sweep.brief.goal], sweep.axes
    values = steady([goal.value(p.entry.figures) if p.entry else np.nan for p in sweep.points])
    grid = values.reshape(len(rows.values), len(columns.values))
    picture = axes.pcolormesh(
        np.ma.masked_invalid(grid), cmap="cividis", vmin=0, vmax=float(np.nanmax(grid)),
        edgecolors="white", linewidth=0.8,
    )  # fmt: skip
    if grid.size <= MOST_CELLS:
        _write_cells(grid, axes)
    axes.grid(visible=False)
    for axis, place in ((columns, axes.xaxis), (rows, axes.yaxis)):
        every = -(-len(axis.values) // MOST_LABELS)
        ticks = np.arange(0, len(axis.values), every)
        place.set_ticks(ticks + 0.5, [short(axis.values[i]) for i in ticks])
    axes.set(xlabel=axis_label(columns), ylabel=axis_label(rows))
    axes.figure.colorbar(picture, ax=axes, label=f"{goal.label}, {goal.unit}")
    row, column = np.unravel_index(int(np.nanargmax(grid)), grid.shape)
    best = f"{at_words(rows, rows.values[row])}, {at_words(columns, columns.values[column])}"
    set_finding(axes, f"{quantity(float(np.nanmax(grid)), goal.unit)} at {best}")
    return axes


def _write_cells(grid: Real, axes: Axes) -> None:
    half = 0.55 * float(np.nanmax(grid))
    for (row, column), value in np.ndenumerate(grid):
        empty = bool(np.isnan(value))
        color = BLACK if empty or value > half else "white"
        axes.text(
            column + 0.5, row + 0.5, "none" if empty else number(float(value)), ha="center", va="center",
            color=color, fontsize=8.5,
        )  # fmt: skip


def front_plot(front: Front, axes: Axes) -> Axes:
    """Volts against what they cost: the front as a staircase, coil shape by marker, beaten layouts in grey."""
    price = PRICES[front.against]
    cost, volts = _coordinates(front, front.entries)
    axes.step(cost, volts, where="post", color=GREY, linewidth=1, zorder=1)
    beaten = _coordinates(front, _apart(front))
    if beaten[0].size:
        axes.plot(*beaten, ".", color=GREY, label="beaten", zorder=1)
    for name in dict.fromkeys(entry.layout.winding.topology for entry in front.entries):
        own = [entry for entry in front.entries if entry.layout.winding.topology == name]
        look = topology_look(name)
        axes.plot(*_coordinates(front, own), look.marker, color=look.color, markeredgecolor=BLACK, label=name)
    axes.set(xlabel=f"{price.label.lower()}, {price.unit}", ylabel="EMF, V rms")
    axes.set_ylim(0, 1.12 * float(volts.max()))
    axes.set_xlim(0, 1.05 * float(np.max([*cost, *beaten[0]])))
    axes.legend(loc="lower right", title="coil shape", alignment="left")
    set_finding(axes, f"{_front_finding(cost, volts, price)} ({plural(len(volts), 'layout')} that none beats)")
    return axes


def _front_finding(cost: Real, volts: Real, price: Price) -> str:
    """The best of a front, and beside it the layout with nearest to half of its volts, by its own share of them."""
    share = volts / volts[-1]
    half = int(np.argmin(np.abs(share - 0.5)))
    words = f"{quantity(float(volts[-1]), 'V')} for {quantity(float(cost[-1]), price.unit)}"
    if half == len(volts) - 1:
        return words
    return f"{words}; {percent(float(share[half]))} of it for {quantity(float(cost[half]), price.unit)}"


def _apart(front: Front) -> list[Entry]:
    """The beaten layouts that no mark of the front would hide: in cost or volts a hundredth of the most away."""
    cost, volts = _coordinates(front, front.entries)

    def hidden(entry: Entry) -> bool:
        (own_cost,), (own_volts,) = _coordinates(front, [entry])
        near = np.maximum(abs(cost - own_cost) / cost.max(), abs(volts - own_volts) / volts.max())
        return float(near.min()) < HIDDEN

    return [entry for entry in front.dominated if not hidden(entry)]


def _coordinates(front: Front, entries: tuple[Entry, ...] | list[Entry]) -> tuple[Real, Real]:
    price = PRICES[front.against]
    cost = steady([price.of(entry.figures) for entry in entries])
    return cost, steady([entry.figures.emf_rms_V for entry in entries])
