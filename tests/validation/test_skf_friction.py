"""Friction of rolling bearings: SKF, Rolling Bearings (catalogue), p. 100: M = 0.5 μ P d with constant coefficients."""

import pytest

from optimizer.rig import BEARINGS
from optimizer.rotor import bearing_torque


def test_coefficients():
    assert BEARINGS["deep-groove"] == 0.0015
    assert BEARINGS["self-aligning"] == 0.0010
    assert BEARINGS["angular-contact"] == 0.0020
    assert BEARINGS["thrust-ball"] == 0.0013
    assert BEARINGS["cylindrical-thrust"] == 0.0050


def test_thrust_bearing_of_10_mm_under_100_newtons():
    assert bearing_torque(BEARINGS["thrust-ball"], 100, 0.010) == pytest.approx(0.65e-3, rel=1e-12)
