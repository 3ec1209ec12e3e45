"""Winding factors of concentrated windings, double layer, fundamental.

S. E. Skaar, Ø. Krøvel and R. Nilssen, "Distribution, coil-span and winding factors for PM machines with
concentrated windings", ICEM 2006; J. Cros and P. Viarouge, IEEE Transactions on Energy Conversion 17 (2002)
248 and F. Magnussen and C. Sadarangani, IEMDC 2003 (from memory). A coil one slot wide has the pitch factor
sin(β π/2), β the slot's share of a pole pitch. The tables print the product with the distribution factor of the
three phases to three digits: 0.866, 0.945, 0.933, 0.951.
"""

from math import pi, sin

import numpy as np
import pytest

from geometry.coils.bundle import Envelope
from geometry.coils.star_of_slots import (
    distribution_factor,
    handbook_winding_factor,
    pitch_factor,
    star_of_slots,
)
from geometry.coils.topology import WEDGE
from optimizer.field.linkage import half_turn_functional
from optimizer.numerics.quadrature import even_grid

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


# coils, poles, printed winding factor, distribution factor, pitch factor
PRINTED = [
    *((coils, poles, 0.866, 1.0, 0.8660)
      for coils, poles in [(3, 2), (3, 4), (6, 4), (6, 8), (9, 6), (12, 8), (12, 16)]),
    *((coils, poles, 0.945, 0.9598, 0.9848) for coils, poles in [(9, 8), (9, 10), (18, 16), (18, 20)]),
    *((coils, poles, 0.933, 0.9659, 0.9659) for coils, poles in [(12, 10), (12, 14), (24, 20)]),
    *((coils, poles, 0.951, 0.9567, 0.9945) for coils, poles in [(15, 14), (15, 16)]),
]  # fmt: skip


@pytest.mark.parametrize(("coils", "poles", "printed", "distribution", "pitch"), PRINTED)
def test_winding_factor(coils: int, poles: int, printed: float, distribution: float, pitch: float):
    # printed to three digits, rounded or cut
    assert handbook_winding_factor(coils, poles, 3) == pytest.approx(printed, abs=1e-3)
    for members in star_of_slots(coils, poles, 3):
        assert distribution_factor(members, coils, poles) == pytest.approx(distribution, abs=6e-5)
    assert pitch_factor(coils, poles) == pytest.approx(pitch, abs=6e-5)
