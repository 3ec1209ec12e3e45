"""What the air gap costs: the winner's EMF with everything but the gap as it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from optimizer.field.emf import waveform
from optimizer.plots.style import BLACK, BLUE, Axes, mark, set_finding, steady, value_label
from optimizer.words.wording import difference, number, quantity, size_mm

LOW, HIGH, MORE = 0.5e-3, 6e-3, 1e-3  # m
POINTS = 10


def air_gaps(layout: Layout) -> Real:
    """Gaps in m to look at, (G,): evenly from 0.5 to 6 mm, the layout's own, and that plus one millimetre."""
    even = np.linspace(LOW, HIGH, POINTS)
    return np.unique(np.round([*even, layout.air_gap, layout.air_gap + MORE], 9))


def air_gap_plot(layout: Layout, axes: Axes) -> Axes:
    """EMF in V rms against the air gap in mm, the layout's own gap marked."""
    gaps = air_gaps(layout)
    volts = steady([waveform(replace(layout, air_gap=float(gap))).rms for gap in gaps])
    own, more = (float(np.interp(gap, gaps, volts)) for gap in (layout.air_gap, layout.air_gap + MORE))
    chosen = layout.air_gap * 1e3
    axes.plot(gaps * 1e3, volts, color=BLUE, marker="o", markersize=5)
    axes.axvline(chosen, color=BLACK, linestyle="--", linewidth=1)
    mark(axes, chosen, own, "D", markersize=9)
    words = f"this layout: {size_mm(chosen)}, {quantity(own, 'V')}"
    value_label(axes, chosen, own, words, xytext=(10, 6), ha="left", fontsize=9.5)
    axes.set(xlabel="air gap, mm", ylabel="EMF, V rms", xlim=(0, None), ylim=(0, float(volts.max()) * 1.12))
    set_finding(
        axes,
        f"A gap wider by 1\u00a0mm gives {difference(more, own)} EMF: {number(more)} instead of "
        f"{quantity(own, 'V')} rms",
    )
    return axes
