"""Power screws: V. B. Bhandari, Design of Machine Elements, example 6.1.

Square thread of 50 mm, pitch 8 mm, three starts (lead 24 mm), mean diameter 46 mm; friction 0.15 in the thread and in a
collar of 100/65 mm (mean radius 41.25 mm); load 15 kN.
"""

from math import atan

import pytest

from optimizer.rigs.mechanisms import lead_angle, thread_torque

LOAD, MEAN, COLLAR = 15e3, 0.046, 0.15 * 15e3 * 0.04125
LEAD, FRICTION = lead_angle(0.024, MEAN), atan(0.15)


def test_torque_to_raise():
    assert (thread_torque(LOAD, MEAN, LEAD, -FRICTION) + COLLAR) * 1e3 == pytest.approx(204_644.14, rel=1e-6)


def test_torque_to_lower():
    # printed with its sign turned where the load would help
    assert (COLLAR - thread_torque(LOAD, MEAN, LEAD, FRICTION)) * 1e3 == pytest.approx(87_401.51, rel=1e-6)


def test_force_at_half_a_metre():
    assert (thread_torque(LOAD, MEAN, LEAD, -FRICTION) + COLLAR) / 0.5 == pytest.approx(409.288, rel=1e-5)


def test_efficiencies():
    raised = thread_torque(LOAD, MEAN, LEAD, -FRICTION)
    thread = thread_torque(LOAD, MEAN, LEAD, 0.0) / raised
    assert thread == pytest.approx(0.512, abs=5e-4)
    assert thread * raised / (raised + COLLAR) == pytest.approx(0.280, abs=5e-4)
