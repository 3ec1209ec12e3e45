"""Fluxes of disc magnets computed beforehand with general-purpose libraries, by two routes that agree.

Routes: Maxwell's mutual inductance integrated over the magnet's current sheet (scipy), and the axial field
of magpylib integrated over the turn's disc. Disc 20 × 5 mm, Br 1.32 T, relative permeability 1, no iron.
These are computed numbers, not measurements. The ring: twelve such discs of alternating polarity, centres
on 40 mm; a circular turn of 10 mm radius centred on 40 mm, 3 mm above the faces, 300 rpm.
"""

from math import pi, sqrt

import numpy as np
import pytest
from test_coaxial_loops import flux

from geometry.coils.bundle import Envelope
from geometry.coils.topology import ROUND
from geometry.curves.curve import Real
from geometry.stock.magnet import DiscMagnet
from optimizer.field.emf import Waveform
from optimizer.field.linkage import half_turn_functional
from optimizer.field.pole_harmonics import disc_profile, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid

DISC = DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.32, recoil_permeability=1.0)
COUNT, PITCH, RADIUS, HEIGHT, SPEED = 12, 0.04, 0.01, 0.003, 300 / 60 * 2 * pi

# radius of the turn in mm: flux in µWb at 1, 3 and 10 mm above the face
TABLE = {
    5: (22.358302, 17.292717, 6.002307),
    10: (85.834971, 55.950545, 18.743483),
    15: (71.261798, 59.410719, 27.950845),
    30: (35.115759, 33.942305, 27.381903),
}


@pytest.mark.parametrize("radius_mm", TABLE)
def test_coaxial_turn(radius_mm: float):
    found = [flux(DISC, radius_mm * 1e-3, z) * 1e6 for z in (1e-3, 3e-3, 10e-3)]
    assert found == pytest.approx(TABLE[radius_mm], rel=1e-6)


def emf_of_one_turn(step: float) -> Waveform:
    """EMF of one turn of one coil of the ring, with pole harmonics known at radii `step` (m) apart."""
    turn = Envelope(
        inner_radius=PITCH - RADIUS, outer_radius=PITCH + RADIUS, width=0.0, sectors=COUNT, peg_radius=1e-3
    )
    orders = odd_orders(COUNT, PITCH + RADIUS, HEIGHT)
    grid = even_grid(PITCH - RADIUS, PITCH + RADIUS, step)
    profile = disc_profile(DISC, np.array([HEIGHT]), 0.1)
    harmonics: Real = pole_harmonics(profile, COUNT, PITCH, grid, orders)[:, 0]
    rows = half_turn_functional(ROUND, turn, np.array([0.0]), grid, orders * COUNT / 2)[:, 0]
    return Waveform(orders, SPEED * 2 * np.sum(rows * harmonics, axis=1))


# a fine grid gives the printed digits; the grid of `optimizer.field.emf` is chosen for 1e-5 of the fundamental
@pytest.mark.parametrize(
    ("step", "tolerance"), [(HEIGHT / 20, 5.5e-5), (HEIGHT / 2.5, 59e-5)], ids=["fine", "usual"]
)
def test_ring_flux_harmonics(step: float, tolerance: float):
    emf = emf_of_one_turn(step)
    linked = emf.amplitudes / (SPEED * COUNT / 2 * emf.orders) * 1e6
    assert linked[:4] == pytest.approx([59.2614, 2.5460, 0.3072, 0.0526], abs=tolerance)
    # aligned with a magnet all harmonics add up
    assert np.sum(linked) == pytest.approx(62.1814, abs=2 * tolerance)


@pytest.mark.parametrize("step", [HEIGHT / 20, HEIGHT / 2.5], ids=["fine", "usual"])
def test_ring_emf(step: float):
    emf = emf_of_one_turn(step)
    assert emf.rms * 1e3 == pytest.approx(7.967, abs=6e-4)
    assert emf.amplitudes[0] / sqrt(2) * 1e3 == pytest.approx(7.899, abs=6e-4)
