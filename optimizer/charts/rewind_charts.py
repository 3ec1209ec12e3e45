"""A rewinding in pictures: volts against ohms of every wire that fits, watts into the load, waves of three coils."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np

from geometry.machine.speed import rad_s_of
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.motors.motor import brush_mean, coil_wave, line_wave
from optimizer.motors.rewinding import (
    Option,
    RewindBrief,
    best_old,
    no_load_volts,
    old_coils,
    speed_constant,
    sweep,
)
from optimizer.plots.style import (
    BLACK,
    BLUE,
    GREEN,
    ORANGE,
    SKY,
    VERMILION,
    Axes,
    Figure,
    halo,
    house_style,
    over_a_period,
    panels,
    set_finding,
    tight,
    value_label,
)
from optimizer.words.wording import number, quantity

HALF = 3.9  # inches, of a figure with two panels


def rewind_figures(brief: RewindBrief, options: Sequence[Option], chosen: Option) -> dict[str, Figure]:
    """Figures `wires` and, for three coils, `waves`."""
    with house_style():
        full, old = sweep(brief, full=True), best_old(old_coils(brief), chosen)
        plots = partial(wires_plot, full, chosen), partial(watts_plot, old, options, chosen)
        figures = {"wires": panels(tight(3.8), *plots, across=True)}
        if brief.motor.coils == 3:
            figures["waves"] = panels(tight(3.8), lambda axes: waves_plot(brief, chosen, axes))
    return figures


def wires_plot(options: Sequence[Option], chosen: Option, axes: Axes) -> Axes:
    """No-load volts against the winding's ohms, a point for each wire with its slot full, the chosen
    winding ringed."""
    shown = [row for row in options if row.volts > 0]  # behind diodes few turns give nothing
    if not shown:
        axes.set_axis_off()
        set_finding(axes, "No wire beats its diodes at this speed", HALF)
        return axes
    ohms, volts = [row.ohms for row in shown], [row.volts for row in shown]
    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.plot(ohms, volts, "o-", color=BLUE, linewidth=1.2, markeredgecolor=BLACK, markersize=6)
    for row in shown:
        words = f"{wire_size(row.armature.wire)} × {row.armature.turns:g}"
        place = {"xytext": (9, -3), "ha": "left", "va": "top"}
        value_label(axes, row.ohms, row.volts, words, path_effects=halo(), **place)
    axes.plot(
        [chosen.ohms], [chosen.volts or np.nan], "o", markersize=14, markerfacecolor="none", markeredgecolor=VERMILION,
        markeredgewidth=2,
    )  # fmt: skip
    axes.set(xlabel="resistance of the output, Ω", ylabel="no load, V")
    axes.set_xlim(min(ohms) / 1.4, 5 * max(ohms))
    axes.set_ylim(min(volts) / 1.35, 1.25 * max(volts))
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(_plain)
        axis.set_minor_formatter(_plain)
    set_finding(axes, "Finer wire buys volts with ohms", HALF)
    return axes


def _plain(value: float, position: float) -> str:
    """Labels of a logarithmic axis: 0.1, 0.2, 0.5, 1 and so on, without powers of ten."""
    return f"{value:g}" if f"{value:e}"[0] in "125" else ""


def watts_plot(old: Option, options: Sequence[Option], chosen: Option, axes: Axes) -> Axes:
    """Watts of the old coils and of each wire into their own best load and into the stated one."""
    rows = [old, *options]
    place = np.arange(len(rows))
    best = [row.best_watts for row in rows]
    axes.bar(
        place - 0.2, best, width=0.38, color="white", edgecolor=BLACK, hatch="///", label="its own best load"
    )
    if chosen.load_watts is not None:
        given = [row.load_watts or 0.0 for row in rows]
        axes.bar(place + 0.2, given, width=0.38, color=SKY, edgecolor=BLACK, label="the stated load")
        axes.legend(loc="upper right", fontsize=8.5)
    names = ["old\ncoils", *(wire_mm(option.armature.wire) for option in options)]
    axes.set_xticks(place, names, fontsize=8.5)
    axes.set(xlabel="wire, mm bare", ylabel="power into, W", ylim=(0, 1.35 * max([*best, 1e-9])))
    axes.grid(axis="x", visible=False)
    watts = chosen.best_watts if chosen.load_watts is None else chosen.load_watts
    set_finding(axes, f"{wire_size(chosen.armature.wire)} gives {quantity(watts, 'W')}", HALF)
    return axes


def waves_plot(brief: RewindBrief, chosen: Option, axes: Axes) -> Axes:
    """Volts over one electrical period: one coil, two lines in star, and between the brushes."""
    rpm = brief.turning.relative_rpm
    orders, shape = coil_wave(3, brief.motor.magnet_arc)
    coil = shape * speed_constant(chosen.armature) * rad_s_of(rpm) / brush_mean(3, orders, shape)
    degrees = np.linspace(0, 360, 721)
    waves = np.sin(np.multiply.outer(np.radians(degrees), orders))
    three = [np.interp((degrees - shift) % 360, degrees, waves @ coil) for shift in (0, 120, 240)]
    over_a_period(axes, "electrical angle, degrees (one turn of shaft against body)")
    star = waves @ line_wave(orders, coil, "star")
    axes.plot(degrees, star, color=ORANGE, linestyle="-.", label="two lines in star")
    axes.plot(degrees, three[0], color=BLUE, label="one coil, or two lines in delta")
    direct = np.max(np.abs(three), axis=0)
    axes.plot(degrees, direct, color=GREEN, linestyle="--", label="between the brushes")
    axes.set(ylabel="no load, V")
    axes.margins(y=0.1)
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.2), ncols=3, fontsize=8.5)
    volts = no_load_volts(chosen.armature, rpm)["commutator"]
    set_finding(
        axes,
        f"{quantity(volts, 'V')} direct between the brushes at {number(rpm)} rpm; the coils alternate at "
        f"{quantity(rpm / 60, 'Hz')}",
    )
    return axes
