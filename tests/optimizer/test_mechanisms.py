"""Mechanisms: what each comes down to, when a twisted bar locks, when a clutch never bites, wrong values."""

from math import atan, degrees, pi, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.rigs.mechanisms import (
    Cord,
    Crank,
    Pump,
    Spin,
    thread_torque,
    turning_efficiency,
)


def test_crank():
    found = Crank(arm=0.1).transmission
    assert (found.travel_per_radian, found.efficiency, found.stroke, found.locked) == (0.1, 1.0, None, "")


def test_spin():
    found = Spin(radius=0.05, stroke=0.2).transmission
    assert (found.travel_per_radian, found.efficiency, found.stroke) == (0.05, 1.0, 0.2)


def test_cord_pulls_at_its_own_middle():
    cord = Cord(
        drum_diameter=0.04, cord_diameter=0.002, stroke=0.6, free_travel_deg=90, return_force=3, efficiency=0.9
    )
    found = cord.transmission
    assert found.travel_per_radian == pytest.approx(0.021)
    assert found.free_travel == pytest.approx(0.021 * pi / 2)
    assert (found.efficiency, found.return_force, found.stroke) == (0.9, 3, 0.6)


def test_pump_turns_by_travel_over_lead():
    pump = Pump(lead=0.05, contact_diameter=0.012, stroke=0.2, friction_coefficient=0.12)
    found = pump.transmission
    assert found.stroke / found.travel_per_radian / (2 * pi) == pytest.approx(4)  # turns of a stroke
    lead, friction = atan(0.05 / (pi * 0.012)), atan(0.12)
    assert found.efficiency == pytest.approx(tan(lead - friction) / tan(lead))
    assert not found.locked


def test_friction_as_an_angle():
    by_angle = Pump(lead=0.05, contact_diameter=0.012, stroke=0.2, friction_angle_deg=degrees(atan(0.12)))
    by_number = Pump(lead=0.05, contact_diameter=0.012, stroke=0.2, friction_coefficient=0.12)
    assert by_angle.transmission.efficiency == pytest.approx(by_number.transmission.efficiency)


def test_a_bar_locks_when_its_lead_angle_is_not_above_the_friction_angle():
    minimum = pi * 0.012 * 0.2  # lead at which both are equal
    locked = Pump(lead=0.99 * minimum, contact_diameter=0.012, stroke=0.2, friction_coefficient=0.2).transmission
    free = Pump(lead=1.01 * minimum, contact_diameter=0.012, stroke=0.2, friction_coefficient=0.2).transmission
    assert locked.efficiency == 0
    assert free.efficiency > 0
    assert not free.locked
    assert locked.locked == (
        "the twisted bar locks itself: its lead angle is 11.2 degrees and must be above the friction angle of 11.3; "
        "pushing cannot turn it, however hard (with a lead above 7.54 mm it would)"
    )


def test_a_clutch_that_never_bites():
    pump = Pump(lead=0.05, contact_diameter=0.012, stroke=0.1, friction_coefficient=0.12, free_travel_deg=720)
    assert pump.transmission.locked == (
        "the clutch never engages: it bites after 720 degrees, 100 mm of the hand's travel, and the whole stroke is "
        "100 mm"
    )


@given(st.floats(0.05, 1.4), st.floats(0.0, 0.5))
def test_screw_relations(lead: float, friction: float):
    # work out over work in for one turn: a push of 1 N goes along the lead
    turned = 2 * pi * thread_torque(1.0, 0.3, lead, friction)
    pushed = 0.3 * pi * tan(lead)
    assert turning_efficiency(lead, friction) == pytest.approx(max(turned, 0) / pushed, abs=1e-12)
    assert 0 <= turning_efficiency(lead, friction) <= 1 + 1e-12
    if lead + friction < pi / 2 - 0.01:
        assert thread_torque(1.0, 0.3, lead, -friction) >= thread_torque(1.0, 0.3, lead, friction)
    assert turning_efficiency(lead, 0.0) == pytest.approx(1)


def test_half_a_lift_is_lost_where_a_screw_only_just_locks():
    # the classic rule: a screw that locks lifts with less than half of its turning
    lead = radians(8)
    assert thread_torque(1.0, 1.0, lead, 0.0) / thread_torque(1.0, 1.0, lead, -lead) < 0.5


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Crank(arm=0), "arm must be above zero, was 0"),
        (lambda: Spin(radius=0.1, stroke=-1), "stroke must be above zero, was -1"),
        (lambda: Cord(drum_diameter=1, cord_diameter=1, stroke=1, efficiency=1.1), "efficiency must be at most 1"),
        (lambda: Pump(lead=0.1, contact_diameter=0.1, stroke=1), "exactly one of friction_coefficient and"),
        (
            lambda: Pump(lead=0.1, contact_diameter=0.1, stroke=1, friction_coefficient=0.1, return_force=-1),
            "return_force must not be below zero, was -1",
        ),
    ],
)  # fmt: skip
def test_wrong_values(make, message: str):
    with pytest.raises(ValueError, match=message):
        make()
