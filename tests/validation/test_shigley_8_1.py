"""Power screws: Shigley's Mechanical Engineering Design, example 8-1 (numbers from memory, recomputed).

Square thread of 32 mm, pitch 4 mm, double start (lead 8 mm), mean diameter 30 mm; friction 0.08 in the thread and in a
collar of 40 mm mean diameter; load 6.4 kN.
"""

from math import atan, pi

import pytest

from optimizer.rigs.mechanisms import lead_angle, thread_torque

LOAD, MEAN, COLLAR = 6.4e3, 0.030, 0.08 * 6.4e3 * 0.020
LEAD, FRICTION = lead_angle(0.008, MEAN), atan(0.08)


def test_torques_and_efficiency():
    raising = thread_torque(LOAD, MEAN, LEAD, -FRICTION) + COLLAR
    assert raising == pytest.approx(26.18, abs=5e-3)
    assert COLLAR - thread_torque(LOAD, MEAN, LEAD, FRICTION) == pytest.approx(9.77, abs=5e-3)
    assert LOAD * 0.008 / (2 * pi * raising) == pytest.approx(0.311, abs=5e-4)
