"""Pitch factors of concentrated windings.

S. E. Skaar, Ø. Krøvel and R. Nilssen, "Distribution, coil-span and winding factors for PM machines with
concentrated windings", ICEM 2006; J. Cros and P. Viarouge, IEEE Transactions on Energy Conversion 17 (2002)
248 and F. Magnussen and C. Sadarangani, IEMDC 2003 (from memory). A coil one slot wide has the pitch factor
sin(β π/2), β the slot's share of a pole pitch; the distribution factor of several phases is not part of
this machine.
"""

from math import pi, sin

import numpy as np
import pytest

from geometry.envelope import Envelope
from geometry.topology import WEDGE
from optimizer.linkage import half_turn_functional
from optimizer.quadrature import even_grid

# coils, poles, pitch factor recomputed from the star of slots
TABLE = [
    (3, 2, 0.8660),
    (3, 4, 0.8660),
    (9, 8, 0.9848),
    (9, 10, 0.9848),
    (12, 10, 0.9659),
    (12, 14, 0.9659),
    (15, 14, 0.9945),
    (15, 16, 0.9945),
]


def linked(coils: int, poles: int, order: int = 1) -> float:
    """∫ r sin(k p ψ) dr along a thin half turn of a coil one slot wide."""
    thin = Envelope(inner_radius=0.025, outer_radius=0.05, width=0.0, sectors=coils, peg_radius=1e-9)
    grid = even_grid(0.025, 0.05, 0.5e-3)
    row = half_turn_functional(WEDGE, thin, np.array([0.0]), grid, np.array([order * poles / 2]))
    return float(row.sum())


@pytest.mark.parametrize(("coils", "poles", "factor"), TABLE)
def test_pitch_factor(coils: int, poles: int, factor: float):
    full_pitch = linked(poles, poles)
    assert full_pitch == pytest.approx((0.05**2 - 0.025**2) / 2, rel=1e-7)
    assert linked(coils, poles) / full_pitch == pytest.approx(factor, abs=6e-5)


@pytest.mark.parametrize(("coils", "poles"), [(9, 8), (12, 10)])
@pytest.mark.parametrize("order", [3, 5, 7])
def test_pitch_factor_of_harmonics(coils: int, poles: int, order: int):
    expected = sin(order * pi / 2 * poles / coils)
    assert linked(coils, poles, order) / linked(poles, poles) == pytest.approx(expected, abs=1e-6)
