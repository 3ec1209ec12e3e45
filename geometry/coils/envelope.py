"""The envelope of a winding: the few numbers that lay out every coil of a phase, whatever its shape."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """What a coil shape is laid out in; lengths in m, each may be an array (they broadcast).

    inner_radius, outer_radius: extreme radii of the winding, insulation included.
    width: of the bundle, seen along the shaft.
    sectors: how many equal sectors share the circle: one per coil, or one per leg of a serpentine.
    peg_radius: least radius of the former's corners.
    """

    inner_radius: ArrayLike
    outer_radius: ArrayLike
    width: ArrayLike
    sectors: int
    peg_radius: float

    @property
    def half_sector(self) -> float:
        """Half the angle of a sector, rad."""
        return pi / self.sectors

    @property
    def span(self) -> Real:
        """Outer minus inner radius, m; any shape."""
        return np.asarray(self.outer_radius, float) - np.asarray(self.inner_radius, float)
