"""Flywheels: energy of a steel disc, computed from E = ½ (½ m R²) ω², and hoop stress of rotating discs.

Stresses: (3 + ν)/4 ρ ω² (b² + (1 − ν)/(3 + ν) a²) at the hole of an annulus, formula of Roark and of Timoshenko (from
memory), recomputed for ρ 7850 kg/m³ and ν 0.3.
"""

from math import pi, sqrt

import pytest

from optimizer.rigs.rig import MATERIALS, Flywheel


def test_steel_disc_of_200_by_10_mm():
    mass = 7850 * pi * 0.1**2 * 0.010
    assert mass == pytest.approx(2.466, abs=5e-4)
    wheel = Flywheel(mass=mass, outer_diameter=0.2)
    assert wheel.inertia == pytest.approx(0.012331, abs=5e-7)
    assert 0.5 * wheel.inertia * (3000 * pi / 30) ** 2 == pytest.approx(608.5, abs=0.05)


def test_ring():
    # all of a thin ring's mass turns at its rim
    thin = Flywheel(mass=2.0, shape="ring", outer_diameter=0.2, inner_diameter=0.1999)
    assert thin.inertia == pytest.approx(2.0 * 0.1**2, rel=1e-3)
    half = Flywheel(mass=2.0, shape="ring", outer_diameter=0.2, inner_diameter=0.1)
    assert half.inertia == pytest.approx(2.0 * (0.1**2 + 0.05**2) / 2, rel=1e-12)


@pytest.mark.parametrize(("diameter", "rpm", "stress"), [(0.2, 3000, 6.405e6), (0.12, 10_000, 25.718e6)])
def test_burst_speed_of_an_annulus_with_a_20_mm_hole(diameter: float, rpm: float, stress: float):
    wheel = Flywheel(mass=1.0, shape="ring", outer_diameter=diameter, inner_diameter=0.020, material="steel")
    expected = rpm * pi / 30 * sqrt(MATERIALS["steel"].strength / stress)
    assert wheel.burst_speed == pytest.approx(expected, rel=1e-3)
