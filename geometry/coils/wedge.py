"""The wedge coil: a sector with two legs and two arcs, one coil in each sector, its legs along the sector's edges.

Turns are told apart by `offset`: their distance from the bundle's centre line, + away from the coil's axis.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope
from geometry.curves.curve import Corner, Real


def inner_corner(envelope: Envelope, offset: ArrayLike) -> Corner:
    """From the leg into the coil's inner arc; offsets in m, any shape."""
    return _corner(envelope, offset, outer=False)


def outer_corner(envelope: Envelope, offset: ArrayLike) -> Corner:
    """From the leg into the coil's outer arc; offsets in m, any shape."""
    return _corner(envelope, offset, outer=True)


def inner_axis(envelope: Envelope) -> float:
    """Polar angle at which a half turn begins: on the coil's own axis, rad."""
    return 0.0 * envelope.half_sector


def clearance(envelope: Envelope) -> dict[str, Real]:
    """What is left, in m, any shape, before the coil's core would vanish; below zero it has."""
    sideways = envelope.inset
    inner = np.asarray(envelope.inner_radius) + sideways
    outer = np.asarray(envelope.outer_radius) - sideways
    return {"inner_core": inner * np.sin(envelope.half_sector) - sideways, "leg": outer - inner}


def _corner(envelope: Envelope, offset: ArrayLike, *, outer: bool) -> Corner:
    width = np.asarray(envelope.width)
    inset = envelope.inset
    edge = np.asarray(envelope.outer_radius if outer else envelope.inner_radius)
    center_radius = edge - inset if outer else edge + inset
    return Corner(
        leg_angle=envelope.half_sector,
        leg_offset=np.asarray(offset) - width / 2,
        center_radius=center_radius,
        bend=inset - width / 2 + np.asarray(offset),
        toward_axis=+1,
        outer=outer,
    )
