"""A load study in pictures: waveforms, losses, curves against load and speed, turns against wire."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Real
from optimizer.loads.load_study import LoadStudy
from optimizer.plots.palette import BLACK, BLUE, GREEN, GREY, ORANGE, PALE, PURPLE, SKY, VERMILION
from optimizer.plots.style import (
    Axes,
    Figure,
    halo,
    house_style,
    set_finding,
    settle,
    single,
    tight,
    value_label,
)
from optimizer.words.load_words import load_words, matching_finding
from optimizer.words.loads import words_of
from optimizer.words.wording import amps_text, number, percent, quantity, watts_text

_Plot: TypeAlias = Callable[[LoadStudy, Axes], Axes]


def load_figures(study: LoadStudy) -> dict[str, Figure]:
    """Figures `waveforms`, `losses` (when the load works), `by_load` (when there is a curve), `by_speed`, `by_wire`."""
    with house_style():
        figures = {"waveforms": _waveform_figure(study)}
        if study.point.starts:
            figures["losses"] = single(tight(2.4), lambda axes: losses_plot(study, axes))
        if study.curve is not None:
            figures["by_load"] = _pair_figure(study, load_watts_plot, load_volts_plot)
        if study.load.TAKES_CURRENT:
            figures["by_speed"] = _pair_figure(study, speed_watts_plot, speed_volts_plot)
            figures["by_wire"] = _pair_figure(study, wire_watts_plot, wire_volts_plot)
    return figures


def volts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """EMF, winding and load volts over one electrical period."""
    waves = study.point.waves
    degrees = np.degrees(waves.angle)
    axes.axhline(0, color=GREY, linewidth=0.8)
    emf = "EMF, A to B" if study.source.phases == 3 else "EMF"
    axes.plot(degrees, waves.emf, color=GREY, linestyle="--", linewidth=1.3, label=emf)
    if study.load.TAKES_CURRENT:
        axes.plot(
            degrees,
            waves.terminal_volts,
            color=BLUE,
            label="A to B, with load" if study.source.phases == 3 else "winding",
        )
    if study.load.bridge is not None:
        name = words_of(study.load).waves
        axes.plot(degrees, waves.load_volts, color=VERMILION, linestyle="-.", label=name)
    axes.set(ylabel="volts", xlim=(0, 360))
    axes.set_xticks(range(0, 361, 60))
    axes.margins(y=0.12)
    axes.legend(loc="upper right", ncols=3)
    return axes


def current_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Winding current over one electrical period."""
    waves = study.point.waves
    axes.axhline(0, color=GREY, linewidth=0.8)
    axes.plot(np.degrees(waves.angle), waves.current, color=GREEN)
    where = "current out of A, A" if study.source.phases == 3 else "winding current, A"
    axes.set(xlabel="electrical angle, degrees", ylabel=where, xlim=(0, 360))
    axes.set_xticks(range(0, 361, 60))
    return axes


def losses_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Where the shaft's power goes."""
    point = study.point
    parts = [
        ("load", point.load_watts, GREEN, ""),
        ("copper", point.copper_watts, ORANGE, "///"),
        ("diodes", point.diode_watts, SKY, "\\\\\\"),
        ("converter", point.converter_watts, PALE, "xxx"),
        ("eddy currents", point.eddy_watts, PURPLE, "..."),
    ]
    shown = [part for part in parts if part[1] > 0]
    for row, (_, watts, color, hatch) in enumerate(shown):
        share = watts / point.shaft_watts
        axes.barh(row, share * 100, color=color, edgecolor=BLACK, hatch=hatch, height=0.62)
        axes.text(share * 100 + 1, row, f"{watts_text(watts)}, {percent(share)}", va="center")
    axes.set_yticks(range(len(shown)), [name for name, *_ in shown])
    axes.set(xlabel="share of the shaft's power, %", xlim=(0, 125))
    axes.set_xticks(range(0, 101, 20))
    axes.invert_yaxis()
    axes.grid(axis="y", visible=False)
    set_finding(
        axes, f"Of {watts_text(point.shaft_watts)} from the shaft the load gets {percent(point.efficiency)}"
    )
    return axes


def load_watts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Watts against the load."""
    curve = study.curve
    assert curve is not None
    unit = "Ω" if curve.quantity == "ohms" else "V"
    axes.plot(curve.values, [point.load_watts for point in curve.points], color=BLUE)
    axes.plot([curve.best], [curve.best_point.load_watts], "o", color=VERMILION, markeredgecolor=BLACK)
    best = f"{watts_text(curve.best_point.load_watts)} at {quantity(curve.best, unit)}"
    value_label(axes, curve.best, curve.best_point.load_watts, f"most: {best}", fontsize=9.5)
    _load_axis(study, axes)
    axes.set(ylabel="watts")
    axes.set_ylim(0, curve.best_point.load_watts * 1.25)
    set_finding(axes, f"{words_of(study.load).gets} at most {best}, at {number(study.point.speed_rpm)} rpm")
    return axes


def load_volts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Volts and amps against the load."""
    curve = study.curve
    assert curve is not None
    if study.load.bridge is None:
        volts: Real = np.array([point.load_rms for point in curve.points])
        amps: Real = volts / curve.values
        kind = "rms"
    else:
        volts = np.array([point.dc_volts for point in curve.points])
        amps = np.array([point.dc_amps for point in curve.points])
        kind = "DC"
    _volts_and_amps(axes, curve.values, volts, amps, kind)
    _load_axis(study, axes)
    return axes


def speed_watts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Watts of load and shaft against the speed."""
    speeds, points = study.speeds.speeds_rpm, study.speeds.points
    axes.plot(
        speeds, [point.shaft_watts for point in points], color=GREY, linestyle="--", label="from the shaft"
    )
    axes.plot(speeds, [point.load_watts for point in points], color=BLUE, label="to the load")
    _here(axes, study.point.speed_rpm, study.point.load_watts)
    axes.set(ylabel="watts", xlim=(0, speeds[-1]))
    axes.set_ylim(bottom=0)
    axes.legend(loc="upper left")
    starts = f"Output begins at {number(study.cut_in_rpm)} rpm; at" if study.cut_in_rpm else "At"
    set_finding(
        axes,
        f"{starts} {number(study.point.speed_rpm)} rpm the load gets {watts_text(study.point.load_watts)}",
    )
    return axes


def speed_volts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Volts and amps against the speed."""
    speeds, points = study.speeds.speeds_rpm, study.speeds.points
    found = [study.load.alternating(point) for point in points]
    kind = "DC" if None in found else "rms"
    shown = [
        (point.dc_volts, point.dc_amps) if pair is None else pair
        for point, pair in zip(points, found, strict=True)
    ]
    volts, amps = np.array(shown).T
    _volts_and_amps(axes, speeds, volts, amps, kind)
    axes.set(xlabel="speed, rpm", xlim=(0, speeds[-1]))
    return axes


def wire_volts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """EMF against source resistance, wire by wire; of three phases both between two terminals."""
    choices, best = study.matching.choices, study.matching.chosen
    ohms, volts = [c.terminal_resistance for c in choices], [c.emf_rms for c in choices]
    axes.loglog(ohms, volts, color=GREY, marker=".", linewidth=1)
    axes.plot([best.terminal_resistance], [best.emf_rms], "o", color=VERMILION, markeredgecolor=BLACK)
    for index, choice in enumerate(choices):
        if choice is best or (index % 3 == 0 and abs(index - study.matching.best) > 1):
            axes.annotate(
                f"{choice.wire.diameter_mm:g} mm, {choice.turns}", (choice.terminal_resistance, choice.emf_rms),
                xytext=(7, -9), textcoords="offset points", fontsize=8, path_effects=halo(),
            )  # fmt: skip
    here, own = study.meters.open_circuit.true_rms, study.source.terminal_resistance
    axes.plot([own], [here], "s", color=SKY, markeredgecolor=BLACK, label="as it is wound")
    between = " between two terminals" if study.source.phases == 3 else ""
    axes.set_xlabel(f"source resistance{between}, Ω (beside the points: wire, turns a coil)")
    axes.set_ylabel(f"EMF{between}, V rms", fontsize="small" if between else None)
    axes.set_xlim(right=max(ohms) * 6)
    axes.legend(loc="upper left")
    return axes


def wire_watts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """What the load gets, wire by wire, the bundle filled."""
    choices, best = study.matching.choices, study.matching.chosen
    places = np.arange(len(choices))
    colors = [VERMILION if choice in study.matching.alike else SKY for choice in choices]
    axes.bar(places, [c.point.load_watts for c in choices], color=colors, edgecolor=BLACK, linewidth=0.7)
    axes.set_xticks(places, [f"{c.wire.diameter_mm:g}" for c in choices], rotation=60, fontsize=8)
    axes.set(xlabel="wire, mm", ylabel="load, W")
    axes.grid(axis="x", visible=False)
    if best.point.starts:
        at = study.matching.best
        value_label(axes, at, best.point.load_watts, watts_text(best.point.load_watts))
        axes.margins(y=0.15)
    set_finding(axes, matching_finding(study.matching))
    return axes


def _volts_and_amps(axes: Axes, x: Real, volts: Real, amps: Real, kind: str) -> None:
    axes.plot(x, volts, color=VERMILION, label=f"volts ({kind}), left")
    axes.set_ylabel(f"volts, {kind}")
    axes.set_ylim(bottom=0)
    right = axes.twinx()
    right.plot(x, amps, color=GREEN, linestyle="--", label=f"amps ({kind}), right")
    right.set_ylabel(f"amps, {kind}")
    right.set_ylim(
        0, 1.3 * max(float(np.max(amps)), 1e-9)
    )  # above the volts' scale: equal curves would hide each other
    right.grid(visible=False)
    right.spines["right"].set_visible(True)
    lines = [*axes.get_lines(), *right.get_lines()]
    right.legend(lines, [str(line.get_label()) for line in lines], loc="best")


def _load_axis(study: LoadStudy, axes: Axes) -> None:
    curve = study.curve
    assert curve is not None
    if curve.quantity == "ohms":
        axes.set_xscale("log")
        axes.set_xlabel("load, Ω")
    else:
        axes.set_xlabel("volts held behind the bridge")
    axes.set_xlim(float(curve.values[0]), float(curve.values[-1]))


def _here(axes: Axes, x: float, y: float) -> None:
    axes.plot([x], [y], "o", color=VERMILION, markeredgecolor=BLACK)


def _pair_figure(study: LoadStudy, upper: _Plot, lower: _Plot) -> Figure:
    figure = tight(6.0)
    top, bottom = figure.subplots(2, 1)
    upper(study, top)
    lower(study, bottom)
    return settle(figure)


def _where(study: LoadStudy) -> str:
    return "each phase" if study.source.phases == 3 else "the winding"


def _waveform_figure(study: LoadStudy) -> Figure:
    if not study.load.TAKES_CURRENT:
        figure = tight(3.4)
        upper = volts_plot(study, figure.add_subplot())
        upper.set_xlabel("electrical angle, degrees")
    else:
        figure = tight(5.2)
        upper, lower = figure.subplots(2, 1, height_ratios=(1.5, 1))
        volts_plot(study, upper)
        current_plot(study, lower)
    amps = (
        ""
        if not study.load.TAKES_CURRENT
        else f": {amps_text(study.point.current_rms)} rms in {_where(study)}"
    )
    words = load_words(study.load)
    set_finding(upper, words[0].upper() + words[1:] + amps, 7.0)
    return settle(figure)
