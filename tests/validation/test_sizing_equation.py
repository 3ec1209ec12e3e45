"""The textbook sizing equation of a serpentine winding in a sinusoidal gap field.

T. S. El-Hasan, P. C. K. Luk, F. S. Bhinder and M. S. Ebaid, "Modular design of high-speed permanent-magnet
axial-flux generators", IEEE Transactions on Magnetics 36 (2000) 3558–3561 (authors and title from memory):
E = 0.353 p N ω B (R2² − R1²) with p the number of poles; 0.353 is 1/(2√2).
"""

from math import pi, sqrt

import numpy as np
import pytest

from geometry.coils.bundle import Envelope
from geometry.coils.topology import SERPENTINE, WEDGE
from optimizer.field.linkage import half_turn_functional
from optimizer.numerics.quadrature import even_grid
from optimizer.search.baseline import sizing_equation

POLES, SPEED, FIELD, RADII = 12, 300 / 60 * 2 * pi, 0.25, (0.025, 0.05)


def emf_of_thin_turn(peg_radius: float) -> float:
    """RMS EMF in V of one serpentine turn in B cos(pφ), corners of `peg_radius` (m)."""
    thin = Envelope(
        inner_radius=RADII[0], outer_radius=RADII[1], width=0.0, sectors=POLES, peg_radius=peg_radius
    )
    grid = even_grid(*RADII, 0.5e-3)
    row = half_turn_functional(SERPENTINE, thin, np.array([0.0]), grid, np.array([POLES / 2]))[0, 0]
    return SPEED * SERPENTINE.half_turns(POLES) * FIELD * float(row.sum()) / sqrt(2)


def test_the_printed_factor():
    found = sizing_equation(POLES, 1, 1.0, 1.0, (1.0, sqrt(2)))
    assert found / POLES == pytest.approx(0.353, abs=6e-4)


def test_serpentine_with_sharp_corners():
    expected = sizing_equation(POLES, 1, SPEED, FIELD, RADII)
    errors = [expected - emf_of_thin_turn(peg) for peg in (1e-3, 0.5e-3, 0.25e-3, 1e-9)]
    assert all(error > 0 for error in errors[:3])  # rounding only loses
    # rounding a corner of radius ρ loses area ~ρ² and, at the leg's shoulder, flux ~ρ·(pρ/R)²: faster than ρ²
    assert errors[0] / errors[1] > 4
    assert errors[1] / errors[2] > 4
    assert errors[0] < 0.01 * expected
    assert errors[3] == pytest.approx(0, abs=1e-9 * expected)


def test_a_wedge_winding_doubles_it():
    assert WEDGE.half_turns(POLES) == 2 * SERPENTINE.half_turns(POLES)
