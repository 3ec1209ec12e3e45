"""Motions in closed form against scipy's solver of differential equations, on tables with all that can be in them."""

from math import inf
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from optimizer.rigs.law_of_motion import MotionLaw

SPEEDS = np.concatenate([[1e-8], np.linspace(0.5, 10, 20)])
SHAPES: dict[str, Any] = {
    "to a speed that it keeps": 3.1 - 0.7 * SPEEDS,
    "nearly even": 2.0 - 1e-9 * SPEEDS - 20 * (SPEEDS > 9.6),
    "steep ends": 5.0 - 400.0 * np.maximum(SPEEDS - 6.2, 0) + 30 * (SPEEDS < 0.7),
    "two speeds that it keeps, one that it leaves": np.sin(0.9 * SPEEDS + 0.3) - 0.4 * (SPEEDS > 9),
    "only down": -0.3 - 0.02 * SPEEDS**2,
}
VALUES = np.cos(SPEEDS) + 2.5
STARTS = (0.0, 0.2, 2.5, 3.3, 4.0, 7.77, 9.9)


def _solved(rate: np.ndarray, start: float, seconds: float) -> np.ndarray:
    """Speed, and sums of the values and of the values times speed."""

    def law(_: float, state: np.ndarray) -> list[float]:
        speed = max(state[0], SPEEDS[0])
        at, value = (float(np.interp(speed, SPEEDS, each)) for each in (rate, VALUES))
        stands = speed <= SPEEDS[0] and at <= 0
        return [0.0 if stands else at, value, value * speed]

    solved = solve_ivp(law, (0, seconds), [start, 0, 0], rtol=1e-9, atol=1e-10, max_step=seconds / 400)
    return solved.y[:, -1]


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("seconds", [0.003, 0.7, 6.0])
def test_speeds_and_sums_are_those_of_the_differential_equation(name: str, seconds: float):
    law = MotionLaw(SPEEDS, SHAPES[name])
    passage = law.after(STARTS, [seconds] * len(STARTS))
    plain = law.integral(law.channel(VALUES), passage)
    power = law.integral(law.channel(VALUES, power=True), passage)
    for index, start in enumerate(STARTS):
        speed, flowed, worked = _solved(SHAPES[name], start, seconds)
        assert passage.end[index] == pytest.approx(speed, rel=2e-6, abs=2e-6)
        assert plain[index] == pytest.approx(flowed, rel=2e-6)
        assert power[index] == pytest.approx(worked, rel=2e-6, abs=2e-6)


@pytest.mark.parametrize("name", SHAPES)
def test_parts_of_a_motion_make_the_whole(name: str):
    law = MotionLaw(SPEEDS, SHAPES[name])
    channel = law.channel(VALUES, power=True)
    for start in STARTS:
        whole = law.after(start, 5.0)
        first = law.after(start, 1.234)
        second = law.after(first.end, 5.0 - 1.234)
        assert float(second.end) == pytest.approx(float(whole.end), rel=1e-9, abs=1e-9)
        parts = law.integral(channel, first) + law.integral(channel, second)
        assert float(parts) == pytest.approx(float(law.integral(channel, whole)), rel=1e-9)


@pytest.mark.parametrize("name", SHAPES)
def test_times_to_a_speed_and_to_a_sum_are_those_after_which_they_are_reached(name: str):
    law = MotionLaw(SPEEDS, SHAPES[name])
    channel = law.channel(VALUES)
    for start in STARTS[1:]:
        for seconds in (0.01, 0.5, 3.0):
            passage = law.after(start, seconds)
            flowed = float(law.integral(channel, passage))
            for latest in (seconds, 2 * seconds + 1, 100.0):
                assert law.seconds_until(start, channel, flowed, latest) == pytest.approx(seconds, rel=1e-9)
            end = float(passage.end)
            if abs(float(np.interp(end, SPEEDS, SHAPES[name]))) > 1e-3 and end > 0:  # not where it stays
                assert law.seconds_to(start, end) == pytest.approx(seconds, rel=1e-6)


def test_speeds_that_are_never_reached():
    law = MotionLaw(SPEEDS, SHAPES["to a speed that it keeps"])
    assert law.seconds_to(2.0, 4.5) == inf  # it keeps 3.1/0.7
    assert law.seconds_to(2.0, 1.0) == inf
    assert law.seconds_to(9.0, 4.0) == inf
    assert law.seconds_to(2.0, 2.0) == 0
    assert law.first_time((2.0, 4.4), SPEEDS, 4.41) is None
    assert law.first_time((2.0, 4.4), SPEEDS, 1.0) == 0
    assert law.first_time((2.0, 4.4), SPEEDS, 4.0) == pytest.approx(law.seconds_to(2.0, 4.0))


def test_the_end_of_a_run_down_is_rest():
    law = MotionLaw(SPEEDS, SHAPES["only down"])
    seconds = law.seconds_to(5.0, 0.0)
    assert float(law.after(5.0, 0.99 * seconds).end) > 0
    assert float(law.after(5.0, 1.01 * seconds).end) == 0
    assert float(law.after(5.0, 100 * seconds).end) == 0
