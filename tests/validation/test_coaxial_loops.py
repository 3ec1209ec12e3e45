"""Mutual inductance of coaxial circles, against the flux of a thin disc magnet.

J. C. Maxwell, A Treatise on Electricity and Magnetism, vol. 2, art. 701: M = μ0 √(aA) [(2/k − k) K − (2/k)
E], k² = 4aA/((a + A)² + d²). E. B. Rosa and F. W. Grover, "Formulas and tables for the calculation of
mutual and self-inductance", Bulletin of the Bureau of Standards 8 (1912) no. 1, worked examples from page
20; the two printed values are from memory, the others were recomputed from the formula.

A disc magnet is a sheet of current around its rim, polarization/μ0 per metre of thickness: a thin one is a
single circle, a thick one a stack of them. The flux through a coaxial circle, summed from the field on the
disc inside it, must then be M times that current.
"""

import numpy as np
import pytest
from scipy.constants import mu_0
from scipy.special import ellipe, ellipk

from geometry.curves.curve import Real
from geometry.stock.magnet import DiscMagnet
from optimizer.field.pole_harmonics import axial_field
from optimizer.numerics.quadrature import gauss

# a, A, d in cm; M in nH, which is 1 cm in the old unit
EXACT = [
    (25, 25, 1, 1036.664849),
    (25, 20, 10, 248.787359),
    (25, 25, 4, 606.067628),
    (25, 25, 10, 337.684718),
    (25, 25, 20, 167.085784),
    (25, 25, 100, 6.499612),
    (10, 25, 4, 80.218344),
]
PRINTED = [(25, 25, 1, 1036.666), (25, 20, 10, 248.7875)]


def maxwell(a: float, b: float, d: Real | float) -> Real:
    """M in H of coaxial circles of radii a and b (m), d apart."""
    m = 4 * a * b / ((a + b) ** 2 + np.asarray(d) ** 2)
    k = np.sqrt(m)
    return mu_0 * np.sqrt(a * b) * ((2 / k - k) * ellipk(m) - 2 / k * ellipe(m))


def flux(magnet: DiscMagnet, radius: float, height: float) -> float:
    """Flux in Wb through a coaxial circle: 2π ∫ r B_z dr on panels that crowd at the magnet's rim."""
    rim = magnet.diameter / 2
    crowd = rim + height * np.sinh(np.linspace(-8, 8, 81))
    edges = np.unique(np.concatenate(([0.0, radius], crowd[(crowd > 0) & (crowd < radius)])))
    t, w = gauss(10)
    r = edges[:-1, None] + np.diff(edges)[:, None] * t
    return float(2 * np.pi * np.sum(r * axial_field(magnet, r, height) * w * np.diff(edges)[:, None]))


@pytest.mark.parametrize(("a", "b", "d", "expected"), PRINTED)
def test_the_formula_gives_the_printed_examples(a: float, b: float, d: float, expected: float):
    # 2e-6: the seven figures of the printed tables
    assert float(maxwell(a / 100, b / 100, d / 100)) * 1e9 == pytest.approx(expected, rel=2e-6)


@pytest.mark.parametrize(("a", "b", "d", "expected"), EXACT)
def test_thin_disc_is_a_loop(a: float, b: float, d: float, expected: float):
    thickness = d * 1e-2 / 200
    disc = DiscMagnet(diameter=2e-2 * a, thickness=thickness, remanence=1.0, recoil_permeability=1.0)
    current = disc.polarization * thickness / mu_0
    found = flux(disc, b / 100, d / 100 - thickness / 2) / current
    # 1e-5: the disc is 1/200 of the distance thick, which costs (1/200)²/24 times the curvature of M,
    # about 2e-6
    assert found * 1e9 == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("radius_mm", [4.0, 10.0, 11.0, 30.0])
@pytest.mark.parametrize("height_mm", [0.5, 3.0, 12.0])
def test_thick_disc_is_a_stack_of_loops(radius_mm: float, height_mm: float):
    disc = DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.32)
    t, w = gauss(60)
    loops = maxwell(disc.diameter / 2, radius_mm * 1e-3, height_mm * 1e-3 + t * disc.thickness)
    expected = float(disc.polarization / mu_0 * disc.thickness * np.sum(w * loops))
    assert flux(disc, radius_mm * 1e-3, height_mm * 1e-3) == pytest.approx(expected, rel=1e-7)
