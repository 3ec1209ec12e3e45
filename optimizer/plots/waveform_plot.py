"""The open-circuit EMF over one electrical period, and what it is made of."""

from __future__ import annotations

import numpy as np

from geometry.curves.curve import Real
from optimizer.field.emf import SAMPLES, MachineEmf, Waveform
from optimizer.plots.style import (
    BLACK,
    BLUE,
    ORANGE,
    PURPLE,
    Axes,
    halo,
    mark,
    over_a_period,
    set_finding,
    steady,
    value_label,
)
from optimizer.words.machine_words import whose_words
from optimizer.words.wording import number, percent, quantity

SHOWN = 10  # harmonics beyond the fundamental


def waveform_plot(machine: MachineEmf, axes: Axes) -> Axes:
    """EMF in V against the electrical angle in degrees, RMS and peak marked."""
    layout, emf = machine.layout, machine.phases[0]
    degrees = np.linspace(0, 360, SAMPLES + 1)
    volts = steady(emf.at(np.radians(degrees)))
    over_a_period(axes)
    axes.plot(degrees, volts, color=BLUE, linewidth=2.2)
    _other_phases(machine, degrees, axes)
    axes.axhline(emf.rms, color=BLACK, linestyle="--", linewidth=1.1)
    told = f"RMS {quantity(emf.rms, 'V')}"
    value_label(axes, 356, emf.rms, told, ha="right", fontsize=9.5, path_effects=halo())
    highest = int(np.argmax(volts))
    mark(axes, degrees[highest], volts[highest])
    side = {"ha": "left", "xytext": (-4, 6)} if degrees[highest] < 45 else {"xytext": (0, 6)}
    words = f"peak {quantity(emf.peak, 'V')}"
    value_label(axes, float(degrees[highest]), float(volts[highest]), words, fontsize=9.5, **side)
    axes.set(ylabel="EMF, V (open circuit)")
    axes.margins(y=0.16 if layout.phases == 1 else 0.22)
    whose = whose_words(layout.phases, layout.winding.topology)
    frequency = layout.carrier.pole_pairs * layout.speed_rpm / 60
    set_finding(
        axes,
        f"{quantity(emf.rms, 'V')} rms{whose}, {quantity(emf.peak, 'V')} peak at "
        f"{number(layout.speed_rpm)} rpm, {quantity(frequency, 'Hz')}{_line_words(machine)}",
        5.2,
    )
    return axes


def _other_phases(machine: MachineEmf, degrees: Real, axes: Axes) -> None:
    """The other two phases, and in star the voltage between terminals A and B."""
    if machine.layout.phases == 1:
        return
    looks = ((1, "B", ORANGE, "--"), (2, "C", PURPLE, "-."))
    curves = [(machine.phases[phase], letter, color, line) for phase, letter, color, line in looks]
    if machine.layout.winding.connection == "star":
        curves.append((machine.lines[0], "A to B", BLACK, ":"))
    axes.lines[-1].set_label("A")
    for emf, letter, color, line in curves:
        volts = steady(emf.at(np.radians(degrees)))
        axes.plot(degrees, volts, color=color, linestyle=line, linewidth=1.6, label=letter)
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.2), ncols=4, fontsize=8.5, handlelength=3)


def _line_words(machine: MachineEmf) -> str:
    layout = machine.layout
    if layout.phases == 1:
        return ""
    between = "A and B" if layout.stacked else "terminals"
    volts = quantity(machine.lines[0].rms, "V")
    return f"; {volts} rms between {between}, in {layout.winding.connection}"


def harmonics_plot(emf: Waveform, axes: Axes) -> Axes:
    """Size of the harmonics by odd order in per cent of the fundamental, which is left out."""
    orders = emf.orders[1 : SHOWN + 1].astype(int)
    shares = steady(np.abs(emf.amplitudes[1 : SHOWN + 1] / emf.amplitudes[0]) * 100)
    axes.bar(np.arange(orders.size), shares, color="#9cc9e6", edgecolor=BLUE, hatch="///", width=0.7)
    tallest = max(float(shares.max()), 0.1)
    for position, share in enumerate(shares):
        if share > 0.1 * tallest:
            value_label(axes, position, float(share), number(float(share), 2), xytext=(0, 2), fontsize=8)
    axes.set_xticks(np.arange(orders.size), [str(order) for order in orders], fontsize=8)
    axes.set(xlabel="order (order 1 is 100 %)", ylabel="share of the fundamental, %")
    axes.set_ylim(0, 1.18 * tallest)
    axes.grid(axis="x", visible=False)
    set_finding(axes, f"Harmonics: {percent(emf.distortion)} together", 3.0)
    return axes
