"""Field of a disc magnet in closed form.

N. Derby and S. Olbert, "Cylindrical magnets and ideal solenoids", American Journal of Physics 78 (2010)
229–235, arXiv:0909.3880. The off-axis formula is from memory and integrated here by quadrature; on the axis
it reduces to B = Br/2 [(D + z)/√(R² + (D + z)²) − z/√(R² + z²)] with D the thickness and z the distance
from the face.

The numbers on the axis (disc 20 × 5 mm, Br 1.32 T) were recomputed from that formula; 171.5 mT at 5 mm and
295.2 mT at the face are also printed in general physics references. Far away a disc is a dipole (any
textbook on electromagnetism).

The least field that is of concern to implants: ICNIRP, "Guidelines on limits of exposure to static magnetic
fields", Health Physics 96 (2009) 504–514: 0.5 mT.
"""

from math import cos, pi, sin, sqrt

import magpylib
import numpy as np
import pytest
from scipy.constants import mu_0
from scipy.integrate import quad
from scipy.optimize import brentq

from geometry.stock.magnet import DiscMagnet
from optimizer.field.disc_field import disc_field
from optimizer.field.pole_harmonics import axial_field, disc_profile

DISC = DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.32, recoil_permeability=1.0)


def on_axis(magnet: DiscMagnet, z: float) -> float:
    """The closed form above, T."""
    radius, far = magnet.diameter / 2, magnet.thickness + z
    return magnet.polarization / 2 * (far / sqrt(radius**2 + far**2) - z / sqrt(radius**2 + z**2))


def derby_olbert(magnet: DiscMagnet, rho: float, z: float) -> float:
    """B_z in T at `rho` from the axis and `z` above the face, by the paper's integral C(kc, γ², 1, γ)."""
    a, b = magnet.diameter / 2, magnet.thickness / 2
    gamma = (a - rho) / (a + rho)

    def end(height: float) -> float:
        kc2 = (height**2 + (a - rho) ** 2) / (height**2 + (a + rho) ** 2)

        def integrand(t: float) -> float:
            c2, s2 = cos(t) ** 2, sin(t) ** 2
            return (c2 + gamma * s2) / ((c2 + gamma**2 * s2) * sqrt(c2 + kc2 * s2))

        return (
            height / sqrt(height**2 + (rho + a) ** 2) * quad(integrand, 0, pi / 2, epsabs=0, epsrel=1e-10)[0]
        )

    return magnet.polarization / pi * a / (a + rho) * (end(z + 2 * b) - end(z))


@pytest.mark.parametrize(
    ("z_mm", "field_mT"), [(1, 273.89), (2, 249.05), (3, 222.65), (5, 171.53), (10, 82.46), (20, 22.47)]
)
def test_on_axis_table(z_mm: float, field_mT: float):
    # half a unit of the last printed digit
    assert float(axial_field(DISC, 0.0, z_mm * 1e-3)) * 1e3 == pytest.approx(field_mT, abs=0.006)


@pytest.mark.parametrize(("z_mm", "field_mT"), [(5, 171.5), (1e-6, 295.2)])
def test_on_axis_printed(z_mm: float, field_mT: float):
    assert float(axial_field(DISC, 0.0, z_mm * 1e-3)) * 1e3 == pytest.approx(field_mT, rel=1e-3)


@pytest.mark.parametrize("size", [(0.02, 0.005), (0.006, 0.002), (0.01, 0.04), (0.04, 0.001)])
def test_on_axis_closed_form(size: tuple[float, float]):
    magnet = DiscMagnet(diameter=size[0], thickness=size[1], remanence=1.2)
    heights = np.geomspace(1e-4, 0.1, 25)
    expected = [on_axis(magnet, float(z)) for z in heights]
    np.testing.assert_allclose(axial_field(magnet, 0.0, heights), expected, rtol=1e-9)


@pytest.mark.parametrize("rho_mm", [0.5, 3.0, 8.0, 9.9, 10.1, 14.0, 40.0])
@pytest.mark.parametrize("z_mm", [0.5, 2.0, 7.0])
def test_off_axis(rho_mm: float, z_mm: float):
    found = float(axial_field(DISC, rho_mm * 1e-3, z_mm * 1e-3))
    assert found == pytest.approx(derby_olbert(DISC, rho_mm * 1e-3, z_mm * 1e-3), rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("half", [0.05, 0.5, 4.0])
def test_magpylib_says_the_same(half: float):
    """In front of, beside, behind and within a disc, on its axis, and in line with its edge."""
    distance, height = (grid.ravel() for grid in np.meshgrid(np.linspace(0, 6, 61), np.linspace(-7, 7, 57) * 0.999))
    theirs = magpylib.core.magnet_cylinder_axial_Bfield(z0=np.full(distance.size, half), r=distance, z=height)[2]
    np.testing.assert_allclose(disc_field(half, distance, height), theirs, rtol=0, atol=3e-15)


def test_profile_follows_the_closed_form():
    heights = np.array([0.5e-3, 2e-3, 7e-3])
    distance = np.linspace(0, 0.09, 400)
    exact = axial_field(DISC, distance[:, None], heights)
    error = np.abs(disc_profile(DISC, heights, 0.1)(distance) - exact).max(axis=0)
    # a spline whose step costs about 1e-5 of the peak, far below the 0.2 % that the EMF may be off
    assert np.all(error < 2e-5 * np.abs(exact).max(axis=0))


@pytest.mark.parametrize("colatitude", [0.0, 0.5, 1.2, pi / 2])
def test_far_field_is_a_dipole(colatitude: float):
    moment = DISC.polarization * DISC.volume / mu_0
    errors = []
    for reach in (0.2, 0.4):
        rho, up = reach * sin(colatitude), reach * cos(colatitude)
        dipole = mu_0 * moment / (4 * pi) * (2 * up**2 - rho**2) / reach**5
        errors.append(abs(float(axial_field(DISC, rho, up - DISC.thickness / 2)) / dipole - 1))
    # the next term is an octupole: its share falls as the square of the distance
    assert errors[0] < 5e-3
    assert errors[0] / errors[1] == pytest.approx(4, rel=0.02)


def test_half_millitesla_radius():
    moment = DISC.polarization * DISC.volume / mu_0
    radius = (mu_0 * moment / (2 * pi * 0.5e-3)) ** (1 / 3)
    assert radius * 1e3 == pytest.approx(87.1, abs=0.06)
    exact = brentq(lambda z: float(axial_field(DISC, 0.0, z - DISC.thickness / 2)) - 0.5e-3, 0.05, 0.2)
    # 1 %: what the disc's own size takes from a dipole's radius there
    assert exact == pytest.approx(radius, rel=0.01)
