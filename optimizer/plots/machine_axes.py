"""What plan, section and field map of a machine share: axes to scale, poles, magnets, bundles, sizes with leaders."""

from __future__ import annotations

import cmath
from dataclasses import dataclass
from typing import Any

import numpy as np

from geometry.coils.topology import sector_axes
from geometry.curves.curve import Curve, polyline, reversed_curve, rotated_curve
from geometry.machine.layout import Layout
from optimizer.plots.style import (
    BLACK,
    BLUE,
    GREEN,
    ORANGE,
    PURPLE,
    VERMILION,
    Axes,
    Circle,
    Path,
    PathPatch,
    halo,
)

DARK_GREEN, PALE_NORTH, PALE_SOUTH = "#00503a", "#f6c9a8", "#b9d9ee"
DARK_ORANGE, DARK_PURPLE = "#7a5200", "#6e3a57"
STEP, SAGITTA = 1.0, 3e-5  # m; straight lines stay whole, arcs are fine enough for paper
LEFT, RIGHT, TOP = 1.1, 2.1, 1.1  # of the rim's radius: what the drawing shows around the shaft
PHASES = ((GREEN, DARK_GREEN, "-"), (ORANGE, DARK_ORANGE, "--"), (PURPLE, DARK_PURPLE, "-."))


def phase_style(phase: int) -> dict[str, Any]:
    """How a bundle of a phase is filled; its letter says the same again."""
    face, edge, line = PHASES[phase]
    return {"facecolor": face + "59", "edgecolor": edge, "linewidth": 0.9, "linestyle": line}


def rim_mm(layout: Layout) -> float:
    """Radius in mm of the larger of disc and winding."""
    return max(layout.space.outer_radius, layout.winding.outer_radius) * 1e3


def axes_in_mm(axes: Axes, layout: Layout, limits: tuple[float, float]) -> None:
    """Axes to scale with room for sizes at the right; `limits` of the upright axis, mm."""
    rim = rim_mm(layout)
    axes.set_aspect("equal")
    axes.set(xlim=(-LEFT * rim, RIGHT * rim), ylim=limits)
    axes.grid(visible=False)
    axes.set_xticks([tick for tick in axes.get_xticks() if abs(tick) <= 1.02 * rim])
    axes.set_yticks(
        [
            tick
            for tick in axes.get_yticks()
            if max(limits[0], -1.02 * rim) <= tick <= min(limits[1], 1.02 * rim)
        ]
    )
    axes.spines["bottom"].set_bounds(-1.05 * rim, 1.05 * rim)


def pole_style(polarity: int) -> dict[str, Any]:
    """How a magnet is filled that shows north (+1) or south."""
    if polarity > 0:
        return {"facecolor": PALE_NORTH, "edgecolor": VERMILION, "linewidth": 1.4}
    return {"facecolor": PALE_SOUTH, "edgecolor": BLUE, "linewidth": 1.4, "linestyle": "--", "hatch": "////"}


def pole_letter(axes: Axes, center: complex, polarity: int, size: float) -> None:
    """N or S in the middle of a magnet (mm)."""
    axes.text(
        center.real, center.imag, "N" if polarity > 0 else "S", ha="center", va="center", fontsize=size,
        weight="bold", color=BLACK, path_effects=halo(),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Size:
    """A size and the point (mm) that its leader goes to."""

    text: str
    point: complex


def leaders(axes: Axes, layout: Layout, sizes: list[Size], *, radial: bool = False) -> None:
    """Sizes in a column at the right, each with a line to what it measures, first along a ray if `radial`."""
    low, high = axes.get_ylim()
    rows = np.linspace(high - 0.12 * (high - low), low + 0.12 * (high - low), len(sizes))
    rim = rim_mm(layout)
    for size, y in zip(sizes, rows, strict=True):
        out = [size.point / abs(size.point) * 1.06 * rim] if radial else []
        path = np.array([size.point, *out, complex(1.24 * rim, y), complex(1.3 * rim, y)])
        axes.plot(
            np.real(path), np.imag(path), color=BLACK, linewidth=0.7, marker="o", markevery=[0], markersize=3,
            path_effects=halo(2.2),
        )  # fmt: skip
        axes.text(1.32 * rim, y, size.text, va="center", fontsize=8.5)


def pole_places(layout: Layout) -> list[complex]:
    """Where the letters of the poles stand on the magnets, mm: in the middle, or beside the hole toward the rim.

    The first is on the x axis with its north face toward the coil.
    """
    radius = (layout.carrier.pitch_radius + layout.carrier.magnet.mark_room[1]) * 1e3
    return [cmath.rect(radius, angle) for angle in sector_axes(layout.carrier.count)]


def add_magnet(axes: Axes, layout: Layout, index: int, **style: Any) -> None:
    """The face of one magnet; a ring's hole is left open."""
    magnet, pitch = layout.carrier.magnet, layout.carrier.pitch_radius
    angle = sector_axes(layout.carrier.count)[index]
    if len(magnet.discs) == 1:
        add_circle(axes, cmath.rect(pitch * 1e3, angle), magnet.across * 5e2, **style)
        return
    rings = [_closed(rotated_curve(magnet.outline(pitch), angle))]
    if hole := magnet.hole(pitch):
        rings.append(_closed(reversed_curve(rotated_curve(hole, angle))))
    axes.add_patch(PathPatch(Path.make_compound_path(*rings), **style))


def add_circle(axes: Axes, center: complex, radius: float, **style: Any) -> None:
    """A circle; centre and radius in mm."""
    axes.add_patch(Circle((center.real, center.imag), radius, **style))


def add_bundles(
    axes: Axes, layout: Layout, *, only_first: bool = False, phase: int | None = None, **style: Any
) -> None:
    """The wound bundle of every coil, of one phase or of the first coil only, its hole left open."""
    angles, members = layout.order.axes, layout.order.members
    shown = range(len(angles)) if phase is None else [index for index, _ in members[phase]]
    for index in sorted(shown)[: 1 if only_first else None]:
        axes.add_patch(PathPatch(_bundle(layout, angles[index]), **style))


def _bundle(layout: Layout, angle: float) -> Path:
    half = layout.winding.width / 2
    outside, inside = (layout.topology.turn(layout.envelope, side) for side in (half, -half))
    rings = (rotated_curve(outside, angle), reversed_curve(rotated_curve(inside, angle)))
    return Path.make_compound_path(*(_closed(ring) for ring in rings))


def _closed(curve: Curve) -> Path:
    points = polyline(curve, step=STEP, sagitta=SAGITTA) * 1e3
    corners = np.column_stack((points.real, points.imag))
    return Path(np.vstack((corners, corners[:1])), closed=True)
