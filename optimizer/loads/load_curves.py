"""What a winding gives against the load and against the speed, and the load that gets the most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import knee_volts
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import Load
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.cut_in import cut_in_speed

POINTS = 33
WIDE = 40.0  # times the source's resistance, both ways
GOLDEN = (5**0.5 - 1) / 2
FINE = 1e-3  # relative; how near the best load is found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadCurve:
    """Load points (M,) at `values` of the load's ohms or volts, whichever it is of. best: the value of most watts."""

    values: Real
    points: tuple[LoadPoint, ...]
    best: float
    best_point: LoadPoint


def load_curve(source: TheveninSource, load: Load, speed_rpm: float) -> LoadCurve | None:
    """Against the resistance of the load, or the volts that a battery or a converter holds; None without output.

    A converter's curve is what the winding gives behind its bridge while the input is held at any volts.
    """
    if load.CURVE == "volts":
        highest = source.peak_constant * rad_s_of(speed_rpm) - 2 * knee_volts(load.bridge or 0.0)
        if highest <= 0:
            return None
        values = highest * np.linspace(0.02, 0.998, POINTS)
    else:
        values = source.resistance * np.exp(np.linspace(-log(WIDE), log(WIDE), POINTS))
    curve = _curve(values, lambda value: steady_state(source, load.variant(value), speed_rpm))
    return curve if load.CURVE == "volts" or curve.best_point.starts else None


def speed_curve(source: TheveninSource, load: Load, fastest_rpm: float) -> tuple[LoadPoint, ...]:
    """Load points from standstill to `fastest_rpm`."""
    starts = rpm_of(cut_in_speed(source, load))
    speeds = np.unique(np.append(np.linspace(0, fastest_rpm, POINTS), min(starts, fastest_rpm)))
    return tuple(steady_state(source, load, float(rpm)) for rpm in speeds)


def _curve(values: Real, point: Callable[[float], LoadPoint]) -> LoadCurve:
    points = tuple(point(float(value)) for value in values)
    top = int(np.argmax([p.load_watts for p in points]))
    low, high = log(values[max(top - 1, 0)]), log(values[min(top + 1, values.size - 1)])
    best = exp(_peak(lambda x: point(exp(x)).load_watts, low, high))
    return LoadCurve(values=values, points=points, best=best, best_point=point(best))


def _peak(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function of one peak has it (golden section)."""
    left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_left, at_right = function(left), function(right)
    while high - low > FINE:
        if at_left >= at_right:
            high, right, at_right = right, left, at_left
            left = high - GOLDEN * (high - low)
            at_left = function(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + GOLDEN * (high - low)
            at_right = function(right)
    return (low + high) / 2
