"""The serpentine (wave) winding: one bundle around the annulus, a leg per sector, arcs outside and inside in turn.

A loop is what two neighbouring legs and the outer arc between them enclose; its axis is the x axis. Turns are
told apart by `offset`: their distance from the bundle's centre line, + away from the loop's axis (and so, on
every arc, away from the shaft).
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope
from geometry.curves.curve import Corner, Curve, Real, mirrored_curve, reversed_curve, rotated_curve


def inner_corner(envelope: Envelope, offset: ArrayLike) -> Corner:
    """From the leg into the inner arc, which leads to the next loop; offsets in m, any shape."""
    return Corner(
        leg_angle=envelope.half_sector,
        leg_offset=offset,
        center_radius=np.asarray(envelope.inner_radius, float) + envelope.inset,
        bend=_center_bend(envelope) - np.asarray(offset),
        toward_axis=-1,
        outer=False,
    )


def outer_corner(envelope: Envelope, offset: ArrayLike) -> Corner:
    """From the leg into the outer arc, which closes the loop; offsets in m, any shape."""
    return Corner(
        leg_angle=envelope.half_sector,
        leg_offset=offset,
        center_radius=np.asarray(envelope.outer_radius, float) - envelope.inset,
        bend=_center_bend(envelope) + np.asarray(offset),
        toward_axis=+1,
        outer=True,
    )


def inner_axis(envelope: Envelope) -> float:
    """Polar angle at which a half turn begins: between this loop and the next, rad."""
    return 2 * envelope.half_sector


def closed_turn(half_turn: Curve, envelope: Envelope) -> Curve:
    """One trip around the annulus, clockwise, from a half turn."""
    loop = half_turn + reversed_curve(mirrored_curve(half_turn))
    pitch = 4 * envelope.half_sector
    return tuple(s for j in range(envelope.sectors // 2) for s in rotated_curve(loop, -pitch * j))


def clearance(envelope: Envelope) -> dict[str, Real]:
    """What is left, in m, any shape, before two stretches of the bundle would share space; below zero they do."""
    width, sideways = np.asarray(envelope.width), _center_bend(envelope)
    inner = np.asarray(envelope.inner_radius) + envelope.inset
    outer = np.asarray(envelope.outer_radius) - envelope.inset
    tilt = np.arcsin(np.clip(sideways / inner, -1, 1))
    to_next_axis = np.minimum(envelope.half_sector + tilt, pi / 2)
    wide_open = envelope.half_sector + tilt >= pi / 2
    between = np.where(wide_open, np.inf, inner * np.sin(to_next_axis) - sideways - width / 2)
    return {
        "inner_turn": inner * np.sin(envelope.half_sector) - sideways,
        "between_bends": between,
        "leg": outer - inner,
    }


def _center_bend(envelope: Envelope) -> Real:
    return envelope.inset - np.asarray(envelope.width) / 2
