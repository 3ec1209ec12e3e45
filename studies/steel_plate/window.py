"""Where the flux of half a pole is taken: a window in the winding's annulus, halfway up the winding."""

from __future__ import annotations

from math import pi

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from optimizer.numerics.quadrature import gauss

NODES = 24  # Gauss points along each side


def window(layout: Layout) -> tuple[Real, Real, float, Real]:
    """Radii (R,) and angles (A,) over half a pole of the winding, its middle height, all m, and area weights (R, A)."""
    t, w = gauss(NODES)
    inner, outer, half = layout.winding.inner_radius, layout.winding.outer_radius, pi / layout.carrier.count
    radii = inner + (outer - inner) * t
    areas = np.outer((outer - inner) * w * radii, half * w)
    return radii, half * t, layout.air_gap + layout.stack_height / 2, areas
