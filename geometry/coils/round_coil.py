"""The round coil: a circular coil in each sector, hole and rim concentric.

Turns are told apart by `offset`: their distance from the bundle's centre line, + away from the coil's centre.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope
from geometry.curves.curve import Arc, Curve, Real


def center_radius(envelope: Envelope) -> Real:
    """Distance of the coils' centres from the shaft, m; any shape."""
    return (np.asarray(envelope.inner_radius, float) + np.asarray(envelope.outer_radius, float)) / 2


def half_turn(envelope: Envelope, offset: ArrayLike) -> Curve:
    """From the turn's innermost point counter-clockwise to its outermost, at positive angles, m; offsets broadcast.

    Seen from the shaft this leads outwards; the coil's axis is the x axis.
    """
    radius = envelope.span / 2 - np.asarray(envelope.width) / 2 + np.asarray(offset)
    return ring(center_radius(envelope), radius)


def ring(center: ArrayLike, radius: ArrayLike) -> Curve:
    """A half turn about a centre so far from the shaft, of a radius, both m; they broadcast."""
    return (Arc(np.asarray(center, float) + 0j, radius, pi, -pi),)


def clearance(envelope: Envelope) -> dict[str, Real]:
    """What is left, in m (any shape), before coils share space or the hole is too small; below zero they do."""
    rim = envelope.span / 2
    return {
        "neighbour": center_radius(envelope) * np.sin(envelope.half_sector) - rim,
        "hole": rim - envelope.inset,
    }
