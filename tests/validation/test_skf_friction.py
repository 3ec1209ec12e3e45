"""Friction of rolling bearings: SKF, Rolling Bearings (catalogue), p. 100: M = 0.5 μ P d with constant coefficients.

Contact seals: the same catalogue, M = K1 ds^beta + K2 with .028, 2.25 and 2 for the seals RSH of deep groove ball
bearings up to 25 mm outside (from memory): 6.4 to 8.2 N mm of a 608, whose lips run on 9.5 to 11 mm.
"""

import pytest

from optimizer.rigs.drivetrain import bearing_torque
from optimizer.rigs.rig import BEARINGS, Bearings, contact_seal_torque


def test_coefficients():
    assert BEARINGS["deep-groove"] == 0.0015
    assert BEARINGS["self-aligning"] == 0.0010
    assert BEARINGS["angular-contact"] == 0.0020
    assert BEARINGS["thrust-ball"] == 0.0013
    assert BEARINGS["cylindrical-thrust"] == 0.0050


def test_thrust_bearing_of_10_mm_under_100_newtons():
    assert bearing_torque(BEARINGS["thrust-ball"], 100, 0.010) == pytest.approx(0.65e-3, rel=1e-12)


def test_contact_seals_of_a_608():
    assert contact_seal_torque(0.008) == pytest.approx(7.7e-3, abs=0.5e-3)  # 7.7 ± 1 by the lips' diameter


def test_bearings_as_bought_are_sealed_and_a_shaft_has_two():
    assert Bearings().rubbing == pytest.approx(15.4e-3, abs=1e-3)
    assert Bearings(seals="shields").rubbing == 0
    assert Bearings(kind="angular-contact").rubbing == 0
    assert Bearings(seal_torque=4e-3).rubbing == 4e-3


def test_seals_take_a_quarter_of_a_watt_at_300_rpm():
    assert contact_seal_torque(0.008) * 300 * 2 * 3.14159 / 60 == pytest.approx(0.24, abs=0.005)
