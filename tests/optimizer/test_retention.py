"""What turning asks of the carrier: discs of known stress and energy, a magnet's pull by hand, and scaling."""

from __future__ import annotations

from math import pi

import pytest
from family import facing_wedges
from layouts import lantern_layout

from geometry.parts.pockets import PrintOptions
from optimizer.evaluation.retention import (
    GLUE_STRENGTH,
    PLASTIC_DENSITY,
    carrier_inertia,
    centrifugal_force,
    disc_inertia,
    hoop_stress,
    retention,
)

STEEL, POISSON = 7850.0, 0.3


@pytest.mark.parametrize(
    ("rim", "rpm", "annulus", "solid", "ring"),
    [(0.1, 3000, 6.405e6, 3.196e6, 7.748e6), (0.06, 10_000, 25.718e6, 12.784e6, 30.991e6)],
)
def test_steel_discs_of_the_textbooks(
    rim: float, rpm: float, annulus: float, solid: float, ring: float
) -> None:
    """Rotating discs after Timoshenko: bore of 10 mm radius, a thin ring, and half of a pin hole's for a solid disc."""
    speed = rpm * 2 * pi / 60
    assert hoop_stress(STEEL, speed, 0.01, rim, POISSON) == pytest.approx(annulus, rel=1e-3)
    assert hoop_stress(STEEL, speed, rim, rim, POISSON) == pytest.approx(ring, rel=1e-3)
    assert hoop_stress(STEEL, speed, 0.0, rim, POISSON) / 2 == pytest.approx(solid, rel=1e-3)


def test_energy_of_a_steel_disc() -> None:
    """Radius 0.1 m, 10 mm thick: 0.012331 kg m², 608.5 J at 3000 rpm."""
    inertia = disc_inertia(STEEL, 0.0, 0.1, 0.01)
    assert inertia == pytest.approx(0.012331, abs=1e-6)
    assert inertia * (3000 * 2 * pi / 60) ** 2 / 2 == pytest.approx(608.5, abs=0.1)


def test_a_magnets_pull_by_hand() -> None:
    """Disc of 15 × 4 mm at 40 mm and 400 rpm.

    706.86 mm³ of 7.4 g/cm³ are 5.2308 g; ω = 41.888 rad/s; m ω² r = 0.36711 N, four times that at twice the
    speed: 1.46846 N. The wall to the rim is 55 − 40 − 15.2/2 = 7.4 mm: 3 · 1.46846/(2 · 7.4 · 4) MPa =
    0.074415 MPa, 403 times below 30 MPa. On 176.715 mm² of glue 0.0083097 MPa, 602 times below 5 MPa.
    """
    held = retention(lantern_layout())
    assert held.magnet_mass == pytest.approx(5.2308e-3, abs=1e-7)
    assert held.force_at_speed == pytest.approx(0.36711, abs=1e-5)
    assert held.force == pytest.approx(1.46846, abs=1e-5)
    assert held.wall == pytest.approx(7.4e-3)
    assert held.wall_stress == pytest.approx(0.074415e6, rel=1e-4)
    assert held.wall_margin == pytest.approx(403.1, rel=1e-3)
    assert held.glue_stress == pytest.approx(8309.7, rel=1e-4)
    assert held.glue_margin == pytest.approx(601.7, rel=1e-3)
    assert held.rim_speed == pytest.approx(2.3038, abs=1e-4)
    assert held.enough


def test_inertia_is_that_of_the_pieces() -> None:
    """Plain disc, less eight cylinders of plastic, plus eight of magnet, each moved to the pitch circle."""
    layout, options = lantern_layout(), PrintOptions()
    disc = PLASTIC_DENSITY * pi * (0.055**2 - 0.015**2) * 6.05e-3 * (0.055**2 + 0.015**2) / 2
    pocket = PLASTIC_DENSITY * pi * 0.0076**2 * 0.00425
    magnet = layout.carrier.magnet.mass
    lumps = magnet * (0.04**2 + 0.0075**2 / 2) - pocket * (0.04**2 + 0.0076**2 / 2)
    assert carrier_inertia(layout, options) == pytest.approx(disc + 8 * lumps, rel=1e-9)
    energy = (disc + 8 * lumps) * (400 * 2 * pi / 60) ** 2 / 2
    assert retention(layout, options).energy == pytest.approx(energy, rel=1e-9)


def test_stress_grows_as_speed_squared() -> None:
    slow, fast = retention(lantern_layout()), retention(lantern_layout(speed_rpm=1200.0))
    for name in ("force", "wall_stress", "glue_stress", "hoop_stress", "energy"):
        assert getattr(fast, name) / getattr(slow, name) == pytest.approx(9)
    assert slow.top_speed_rpm == pytest.approx(fast.top_speed_rpm)
    at_top = retention(lantern_layout(speed_rpm=slow.top_speed_rpm / 2))
    assert at_top.min_margin == pytest.approx(4)
    assert not retention(lantern_layout(speed_rpm=slow.top_speed_rpm / 1.9)).enough


def test_a_wider_pocket_leaves_less_wall() -> None:
    held = retention(lantern_layout(), PrintOptions(pocket_clearance=0.6e-3))
    assert held.wall == pytest.approx(7.2e-3)
    assert held.seam_margin == pytest.approx(GLUE_STRENGTH / held.hoop_stress)
    assert centrifugal_force(0.5, 2.0, 3.0) == 9.0


def test_both_carriers_turn_and_so_does_their_steel() -> None:
    """A plate of 3 mm: 7850 · 0.003 · π/2 (0.055⁴ − 0.015⁴) = 3.366e-4 kg m², 0.20715 kg; two of all."""
    options = PrintOptions()
    facing, steel = facing_wedges(plate=0.0), facing_wedges()
    single = lantern_layout("wedge")
    assert carrier_inertia(facing, options) == pytest.approx(2 * carrier_inertia(single, options))
    # on steel no pocket is deeper for glue under its magnet
    glue = PLASTIC_DENSITY * pi * 0.0076**2 * 0.15e-3 * (0.04**2 + 0.0076**2 / 2)
    floor = disc_inertia(PLASTIC_DENSITY, 0.015, 0.055, options.floor + 0.15e-3) - 8 * glue
    with_steel = carrier_inertia(single, options) - floor + 3.366e-4
    assert carrier_inertia(steel, options) == pytest.approx(2 * with_steel, rel=1e-3)
    held = retention(steel)
    assert held.steel_mass == pytest.approx(2 * 0.20715, rel=1e-4)
    assert held.carriers == 2
