"""The axial field of a solid disc as magpylib computes it: of maps, single values and the tests. The only door to it.

Its import takes longer than all figures of a machine, whose profiles come from the same closed form (`disc_field`).
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# magpylib has no types

from __future__ import annotations

import numpy as np
from magpylib.core import magnet_cylinder_axial_Bfield

from geometry.curves.curve import Real


def magpylib_field(half: float, distance: Real, height: Real) -> Real:
    """B_z over the polarization, a ratio, of the shape (…) to which distances and heights broadcast.

    Arguments as of `disc_field.disc_field`.
    """
    distance, height = np.broadcast_arrays(distance, height)
    halves = np.full(distance.size, half)
    found = magnet_cylinder_axial_Bfield(z0=halves, r=distance.ravel(), z=height.ravel())[2]
    return np.asarray(found).reshape(distance.shape)
