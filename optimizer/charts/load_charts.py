"""A load study in pictures: waveforms, losses, curves against load and speed, turns against wire."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Real
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.loads.load_study import LoadStudy
from optimizer.plots.style import (
    BLACK,
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    PALE,
    PURPLE,
    SKY,
    VERMILION,
    Axes,
    Figure,
    bars_across,
    halo,
    house_style,
    mark,
    over_a_period,
    panels,
    set_finding,
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
            figures["losses"] = panels(tight(2.4), lambda axes: losses_plot(study, axes))
        if study.curve is not None:
            figures["by_load"] = _pair(study, load_watts_plot, load_volts_plot)
        if study.load.TAKES_CURRENT:
            figures["by_speed"] = _pair(study, speed_watts_plot, speed_volts_plot)
            figures["by_wire"] = _pair(study, wire_watts_plot, wire_volts_plot)
    return figures


def volts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """EMF, winding and load volts over one electrical period."""
    waves = study.point.waves
    degrees = np.degrees(waves.angle)
    over_a_period(axes, "")
    emf = "EMF, A to B" if study.source.phases == 3 else "EMF"
    axes.plot(degrees, waves.emf, color=GREY, linestyle="--", linewidth=1.3, label=emf)
    if study.load.TAKES_CURRENT:
        label = "A to B, with load" if study.source.phases == 3 else "winding"
        axes.plot(degrees, waves.terminal_volts, color=BLUE, label=label)
    if study.load.bridge is not None:
        name = words_of(study.load).waves
        axes.plot(degrees, waves.load_volts, color=VERMILION, linestyle="-.", label=name)
    axes.set(ylabel="volts")
    axes.margins(y=0.12)
    axes.legend(loc="upper right", ncols=3)
    return axes


def current_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Winding current over one electrical period."""
    waves = study.point.waves
    over_a_period(axes)
    axes.plot(np.degrees(waves.angle), waves.current, color=GREEN)
    where = "current out of A, A" if study.source.phases == 3 else "winding current, A"
    axes.set(ylabel=where)
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
    shares = [watts / point.shaft_watts for _, watts, *_ in shown]
    told = [f"{watts_text(watts)}, {percent(share)}" for (_, watts, *_), share in zip(shown, shares, strict=True)]
    looks = [(color, hatch) for *_, color, hatch in shown]
    bars_across(axes, [name for name, *_ in shown], [100 * share for share in shares], looks, told)
    axes.set(xlabel="share of the shaft's power, %")
    set_finding(
        axes, f"Of {watts_text(point.shaft_watts)} from the shaft the load gets {percent(point.efficiency)}"
    )
    return axes


def load_watts_plot(study: LoadStudy, axes: Axes) -> Axes:
    """Watts against the load."""
    curve = study.curve
    assert curve is not None
    unit = "Ω" if study.load.CURVE == "ohms" else "V"
    axes.plot(curve.values, [point.load_watts for point in curve.points], color=BLUE)
    mark(axes, curve.best, curve.best_point.load_watts)
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
    speeds, points = np.array([point.speed_rpm for point in study.speeds]), study.speeds
    axes.plot(
        speeds, [point.shaft_watts for point in points], color=GREY, linestyle="--", label="from the shaft"
    )
    axes.plot(speeds, [point.load_watts for point in points], color=BLUE, label="to the load")
    mark(axes, study.point.speed_rpm, study.point.load_watts)
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
    speeds, points = np.array([point.speed_rpm for point in study.speeds]), study.speeds
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
    mark(axes, best.terminal_resistance, best.emf_rms)
    for index, choice in enumerate(choices):
        if choice is best or (index % 3 == 0 and abs(index - study.matching.best) > 1):
            axes.annotate(
                f"{wire_size(choice.wire)}, {choice.turns}", (choice.terminal_resistance, choice.emf_rms),
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
    axes.set_xticks(places, [wire_mm(c.wire) for c in choices], rotation=60, fontsize=8)
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
    if study.load.CURVE == "ohms":
        axes.set_xscale("log")
        axes.set_xlabel("load, Ω")
    else:
        axes.set_xlabel("volts held behind the bridge")
    axes.set_xlim(float(curve.values[0]), float(curve.values[-1]))


def _pair(study: LoadStudy, *plots: _Plot) -> Figure:
    return panels(tight(6.0), *(partial(plot, study) for plot in plots))


def _waveform_figure(study: LoadStudy) -> Figure:
    words = load_words(study.load)
    title = words[0].upper() + words[1:]
    if not study.load.TAKES_CURRENT:

        def alone(axes: Axes) -> None:
            set_finding(volts_plot(study, axes), title, 7.0)
            axes.set_xlabel("electrical angle, degrees")

        return panels(tight(3.4), alone)
    where = "each phase" if study.source.phases == 3 else "the winding"
    title += f": {amps_text(study.point.current_rms)} rms in {where}"

    def upper(axes: Axes) -> None:
        set_finding(volts_plot(study, axes), title, 7.0)

    return panels(tight(5.2), upper, partial(current_plot, study), height_ratios=(1.5, 1))
