"""What people can give. Bounds only.

Wilkie, Ergonomics 3 (1960) 1-8 (abstract): champions 6 hp for less than a second, 2 to 0.5 hp from 0.1 to 5 min, 0.5 to
0.4 hp to 150 min, about 0.2 hp all day; ordinary people less than 70 to 80 % of that. Kramer et al., Ergonomics 52(10)
(2009) 1276-1286 (abstract): 90 (standard deviation 25.8) W with both arms at a hand cycle at a fifth of the maximum.
Kramer, Hilker and Böhm, Eur. J. Appl. Physiol. 106(5) (2009) 749-757 (abstract): most power 754 to 873 W at handle
speeds of 1.81 to 2.13 m/s.
"""

from itertools import pairwise

import numpy as np
import pytest

from optimizer.rigs.operator import (
    FORCE,
    HORSEPOWER,
    LASTING_POWER,
    TOP_SPEED,
    Operator,
    bearable_power,
    force_at,
)


@pytest.mark.parametrize(("minutes", "horsepower"), [(0.1, 2.0), (5, 0.5), (150, 0.4), (480, 0.2)])
def test_wilkie(minutes: float, horsepower: float):
    limit = bearable_power(60 * minutes) / HORSEPOWER
    assert 0.7 * horsepower <= limit <= 0.8 * horsepower + 1e-12


def test_wilkie_falls_with_time():
    limits = [bearable_power(seconds) for seconds in np.geomspace(0.1, 1e6, 200)]
    assert all(a >= b for a, b in pairwise(limits))
    assert limits[0] <= 6 * HORSEPOWER


def test_lasting_power_is_one_arm_of_two():
    assert (90 - 25.8) / 2 <= LASTING_POWER <= (90 + 25.8) / 2
    assert bearable_power(8 * 3600) > LASTING_POWER  # below what an ordinary body gives all day


def test_most_power_at_the_handle_speed_of_kramer():
    speeds = np.linspace(0, TOP_SPEED, 3601)
    powers = force_at(Operator(cadence_per_minute=60), speeds) * speeds
    assert 1.75 <= speeds[np.argmax(powers)] <= 2.13
    # an easy push of one arm stays far below both arms' best
    assert powers.max() == pytest.approx(FORCE * TOP_SPEED / 4)
    assert powers.max() < 0.25 * 754
