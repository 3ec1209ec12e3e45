"""The best winding of any shape beside the winner's: contours of turns over a few magnets."""

from __future__ import annotations

from math import pi, sin

import numpy as np

from geometry.machine.layout import Layout
from optimizer.bounds.any_winding import WindingBound
from optimizer.plots.machine_axes import (
    add_bundles,
    add_circle,
    add_magnet,
    pole_letter,
    pole_places,
    pole_style,
)
from optimizer.plots.style import BLACK, GREEN, GREY, Axes, Line2D, Patch, set_finding
from optimizer.words.result_tables import bound_finding
from optimizer.words.wording import plural

PALE_GREEN = f"{GREEN}66"
CONTOURS = 9  # at most about as many, from the outermost turn to the innermost
TITLE = 5.2  # inches of the finding's lines
SHOWN = 1.5  # pole pitches to either side of the first magnet's axis


def any_winding_plot(layout: Layout, bound: WindingBound, axes: Axes) -> Axes:
    """The first magnet and its neighbours seen from the coil, in mm; phase A where there are several.

    Thin lines: every so many turns of the best winding. The machine's own bundles are filled.
    """
    rim, half = layout.space.outer_radius * 1e3, min(SHOWN * pi / layout.carrier.pole_pairs, pi)
    tall = rim * (sin(half) if half < pi / 2 else 1.0)
    low = layout.space.bore_radius * 1e3 * np.cos(half) if half < pi / 2 else -rim
    axes.set_aspect("equal")
    axes.grid(visible=False)
    for radius in (rim, layout.space.bore_radius * 1e3):
        add_circle(axes, 0j, radius, fill=False, edgecolor=GREY, linewidth=1.2)
    for index, place in enumerate(pole_places(layout)):
        add_magnet(axes, layout, index, **pole_style(1 - 2 * (index % 2)))
        if abs(place.imag) < 0.95 * tall and place.real > low:
            pole_letter(axes, place, 1 - 2 * (index % 2), 12)
    add_bundles(axes, layout, phase=0, facecolor=PALE_GREEN, edgecolor=GREEN, linewidth=0.8)
    axes.set(
        xlim=(min(low, 0.98 * low), 1.02 * rim),
        ylim=(-1.02 * tall, 1.02 * tall),
        xlabel="x, mm",
        ylabel="y, mm",
    )
    step = _contours(axes, layout, bound)
    every = f"a line every {step} turns" if step > 1 else "a line for each turn"
    wound = plural(layout.winding.turns, "turn")
    axes.legend(
        handles=[
            Line2D([], [], color=BLACK, linewidth=0.9, label=f"best winding of any shape,\n{every}"),
            Patch(facecolor=PALE_GREEN, edgecolor=GREEN, label=f"this machine's bundle,\n{wound}"),
        ],
        loc="center left",
        bbox_to_anchor=(1.02, 0.5),
    )
    set_finding(axes, bound_finding(bound), TITLE)
    return axes


def _contours(axes: Axes, layout: Layout, bound: WindingBound) -> int:
    """Of the best winding's turns as far as the axes reach; the turns from one line to the next."""
    quarter = np.concatenate([-bound.angles[:0:-1], bound.angles])
    turns = np.concatenate([bound.turns[:, :0:-1], bound.turns], axis=1)
    step = max(round(float(bound.turns.max()) / CONTOURS), 1)
    levels = np.arange(0.5, bound.turns.max(), step)
    for pole in range(layout.carrier.count):
        angle = quarter + pole * pi / layout.carrier.pole_pairs
        x, y = np.outer(bound.radii, np.cos(angle)) * 1e3, np.outer(bound.radii, np.sin(angle)) * 1e3
        if axes.viewLim.count_contains(np.stack([x, y], axis=-1).reshape(-1, 2)):
            axes.contour(x, y, turns, levels=levels, colors=BLACK, linewidths=0.9)
    return step
