"""The racetrack coil: two parallel straight sides along the sector's axis, half circles about its ends.

Each coil is as broad as its sector lets it be: neighbours touch at their inner ends, so the breadth follows from the
inner radius. Turns are told apart by `offset`: their distance from the bundle's centre line, + away from the coil's
middle.
"""

from __future__ import annotations

from math import pi, sin

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope
from geometry.curves.curve import Arc, Curve, Line, Real


def end_radius(envelope: Envelope) -> Real:
    """Radius of the coil's edge at both ends, half its breadth: m, any shape.

    At most the span, which is twice what leaves straight sides; the fit rules report that case.
    """
    sine = sin(envelope.half_sector)
    inner = np.asarray(envelope.inner_radius, float)
    return np.minimum(inner * sine / max(1 - sine, 1e-12), np.abs(envelope.span))


def half_turn(envelope: Envelope, offset: ArrayLike) -> Curve:
    """From the turn's innermost point along its side at positive angles to its outermost, m; offsets broadcast."""
    edge = end_radius(envelope)
    bend = edge - np.asarray(envelope.width) / 2 + np.asarray(offset)
    inner, outer = np.asarray(envelope.inner_radius) + edge, np.asarray(envelope.outer_radius) - edge
    return (
        Arc(inner + 0j, bend, pi, -pi / 2),
        Line(inner + 1j * bend, outer + 1j * bend),
        Arc(outer + 0j, bend, pi / 2, -pi / 2),
    )


def clearance(envelope: Envelope) -> dict[str, Real]:
    """What is left, m, any shape, before the straight sides vanish or the hole is too small; below zero they do."""
    edge = end_radius(envelope)
    return {
        "leg": envelope.span - 2 * edge,
        "hole": edge - envelope.inset,
    }
