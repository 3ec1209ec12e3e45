"""A run in pictures: speed, volts and force over time, two strokes in detail, and where the work of the hand went."""

from __future__ import annotations

import numpy as np

from geometry.curves.curve import Real
from optimizer.plots.style import (
    BLACK,
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    PALE,
    SKY,
    Axes,
    Figure,
    bars_across,
    halo,
    house_style,
    mark,
    panels,
    set_finding,
    settle,
    tight,
    value_label,
)
from optimizer.rigs.drive_run import DriveRun
from optimizer.words.drive_words import energy_rows, volts_meaning
from optimizer.words.wording import duration, number, percent, quantity

PLACES = {"the load": (GREEN, ""), "still turning": (SKY, "xx")}  # looks of where the work went; of others, lost


def drive_figures(run: DriveRun) -> dict[str, Figure]:
    """Figures `run`, `energy` and, where the hand works in strokes, `stroke`."""
    with house_style():
        figures = {"run": _run_figure(run), "energy": panels(tight(3.6), lambda axes: energy_plot(run, axes))}
        if run.settled.strokes_per_minute and len(run.strokes) > 2:
            figures["stroke"] = _stroke_figure(run)
    return figures


def speed_plot(run: DriveRun, axes: Axes, part: slice = slice(None)) -> Axes:
    """Rotor speed in rpm over time in s."""
    series = run.series
    axes.plot(series.time[part], series.rpm[part], color=BLUE)
    axes.set(ylabel="rotor, rpm")
    axes.set_ylim(*_span(series.rpm[part]))
    return axes


def volts_plot(run: DriveRun, axes: Axes, part: slice = slice(None)) -> Axes:
    """Volts over time, with the useful volts and the moment they are first reached."""
    series, useful = run.series, run.useful_volts
    axes.plot(series.time[part], series.dc_volts[part], color=GREEN)
    low, high = _span(series.dc_volts[part])
    if useful is not None and part == slice(None):
        axes.axhline(useful, color=BLACK, linestyle="--", linewidth=1.1)
        above = run.settled.dc_volts < useful  # on the side where the curve is not
        side = {"xytext": (0, 4)} if above else {"xytext": (0, -4), "va": "top"}
        told = f"asked: {quantity(useful, 'V')}"
        value_label(axes, run.seconds, useful, told, ha="right", path_effects=halo(), **side)
        high = max(high, 1.25 * useful)
        if run.useful_after is not None:
            mark(axes, run.useful_after, useful, markersize=6)
    axes.set(ylabel=f"V {volts_meaning(run).split(',')[0]}".strip())
    axes.set_ylim(low, high)
    return axes


def force_plot(run: DriveRun, axes: Axes, part: slice = slice(None)) -> Axes:
    """Force at the hand in N over time in s."""
    series = run.series
    axes.fill_between(series.time[part], series.hand_force[part], color=ORANGE, alpha=0.35, linewidth=0)
    axes.plot(series.time[part], series.hand_force[part], color=BLACK, linewidth=0.9)
    axes.set(ylabel="hand, N", xlabel="time, s")
    axes.set_ylim(0, 1.15 * max(float(series.hand_force[part].max()), 1.0))
    return axes


def energy_plot(run: DriveRun, axes: Axes) -> Axes:
    """Share of the hand's work by place, the largest on top."""
    total = run.energies.hand or 1.0
    rows = [(name, joules) for name, joules, share in energy_rows(run) if share > 0]
    rows.sort(key=lambda row: -row[1])
    shares = [100 * joules / total for _, joules in rows]
    looks = [PLACES.get(name, ("white", "///")) for name, _ in rows]
    told = [f"{quantity(joules, 'J')}, {percent(joules / total)}" for _, joules in rows]
    bars_across(axes, [name for name, _ in rows], shares, looks, told)
    axes.set(xlabel="share of the hand's work, %")
    load = run.energies.load / total
    set_finding(
        axes,
        f"{percent(load)} of the hand's {quantity(total, 'J')} reach the load in {duration(run.seconds)}",
        6.4,
    )
    return axes


def _span(values: Real) -> tuple[float, float]:
    """Limits that show the values with a margin, and zero unless they stay far from it."""
    low, high = float(values.min()), float(values.max())
    if low < 0.5 * high or high <= 0:
        return 0.0, 1.15 * max(high, 1e-3)
    margin = max(0.2 * (high - low), 0.02 * high)
    return low - margin, high + margin


def _run_figure(run: DriveRun) -> Figure:
    settled = run.settled

    def upper(axes: Axes) -> None:
        set_finding(
            speed_plot(run, axes),
            f"It settles at {number(settled.rpm)} rpm, {quantity(settled.dc_volts, 'V')}, "
            f"{quantity(settled.load_watts, 'W')}",
        )

    def lower(axes: Axes) -> None:
        force_plot(run, axes).set_xlim(0, run.seconds)

    return panels(tight(5.6), upper, lambda axes: volts_plot(run, axes), lower, sharex=True)


def _stroke_figure(run: DriveRun) -> Figure:
    start, end = run.strokes[-3].start, run.strokes[-1].start
    low, high = np.searchsorted(run.series.time, [start, end]).tolist()
    part = slice(low, high + 1)
    figure = tight(4.8)
    upper, middle, lower = figure.subplots(3, 1, sharex=True)
    for axes, plot in ((upper, speed_plot), (middle, volts_plot), (lower, force_plot)):
        plot(run, axes, part)
        for stroke in run.strokes[-3:-1]:
            axes.axvspan(stroke.start, stroke.start + stroke.push_seconds, color=PALE, alpha=0.6, linewidth=0)
            axes.axvline(stroke.start, color=GREY, linewidth=0.8, linestyle=":")
    lower.set_xlim(start, end)
    stroke = run.strokes[-2]
    set_finding(
        upper,
        f"One stroke: {quantity(stroke.hand_joules, 'J')} from the hand, {quantity(stroke.load_joules, 'J')} to the "
        f"load, {quantity(stroke.mean_force, 'N')} felt",
    )
    return settle(figure)
