"""Magnets and bundles as matplotlib patches, in millimetres: what the layout plot and the field map share."""

from __future__ import annotations

import cmath
from typing import Any

import numpy as np

from geometry.coils.topology import sector_axes
from geometry.curves.curve import Curve, polyline, reversed_curve, rotated_curve
from geometry.machine.layout import Layout
from optimizer.plots.style import Axes, Circle, Path, PathPatch

STEP, SAGITTA = 1.0, 3e-5  # m; straight lines stay whole, arcs are fine enough for paper


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
