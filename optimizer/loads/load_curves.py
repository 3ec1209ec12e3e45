"""What a winding gives against the load and against the speed, and the load that gets the most, or draws the most.

All by the same steady state that every load is computed with, so that no load can get more than the best.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log
from typing import NamedTuple

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import Drop, knee_volts
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import BridgeResistor, Load, Resistor
from optimizer.circuit.loads.load import LimitedLoad, steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.electromagnetic_torque import cut_in_speed, working_rpm

POINTS = 33
WIDE = 40.0  # times the source's resistance, both ways
GOLDEN = (5**0.5 - 1) / 2
METER_OHMS = 10e6  # of a common digital meter
STRIDE = 0.5  # of the logarithm of the ohms, between the first points tried
REFINEMENTS = 2  # parabolas through the best three: the top is flat, so they come within 1e-4 of its watts
MAX_STRIDES = 30
FINE = 1e-3  # relative; how near the best load is found
STEP = 0.999  # of a draw that is as good as all of it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadCurve:
    """Load points (M,) at `values` of the load's ohms or volts, whichever it is of. best: the value of most watts."""

    values: Real
    points: tuple[LoadPoint, ...]
    best: float
    best_point: LoadPoint


def load_curve(source: TheveninSource, load: Load, speed_rpm: float) -> LoadCurve | None:
    """Against the load's resistance, Ω, or the voltage, V, that a battery or a converter holds; None without output.

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


class BestLoad(NamedTuple):
    """A resistance in Ω and what it gets, W."""

    ohms: float
    watts: float


def best_load(source: TheveninSource, rpm: float, drop: Drop | None = None) -> BestLoad:
    """The resistance that gets the most at `rpm`.

    drop: of one diode, V, of a bridge ahead of the resistance; None: straight across. Where the diodes let nothing
    through, the ohms are the source's own and the watts none.
    """
    own = source.resistance if drop is None else source.terminal_resistance

    def watts(logarithm: float) -> float:
        return steady_state(source, plain_load(exp(logarithm), drop), rpm).load_watts

    log_ohms, highest = _highest(watts, log(own))
    return BestLoad(exp(log_ohms), highest)


def plain_load(ohms: float, drop: Drop | None) -> Load:
    """A resistance, Ω, straight across, or behind a bridge of diodes of that drop."""
    return Resistor(ohms=ohms).behind(drop)


def open_volts(source: TheveninSource, rpm: float, drop: Drop | None = None) -> float:
    """RMS voltage, V, between two terminals with nothing joined, or direct of a commutated source.

    With `drop` the mean direct volts that a meter shows behind the bridge.
    """
    if drop is None:
        return source.emf_constant * rad_s_of(rpm)
    return steady_state(source, BridgeResistor(ohms=METER_OHMS, drop=drop), rpm).dc_volts


def _highest(function: Callable[[float], float], start: float) -> tuple[float, float]:
    """Where a function with one smooth top is highest, and how high: strides until it falls on both sides, then
    parabolas."""
    points = {at: function(at) for at in (start - STRIDE, start, start + STRIDE)}
    if not any(points.values()):
        return start, 0.0
    for _ in range(MAX_STRIDES):
        top = max(points, key=points.__getitem__)
        if min(points) < top < max(points):
            break
        at = top - STRIDE if top == min(points) else top + STRIDE
        points[at] = function(at)
    for _ in range(REFINEMENTS):
        at = _vertex(points)
        if at in points:
            break
        points[at] = function(at)
    top = max(points, key=points.__getitem__)
    return top, points[top]


def _vertex(points: dict[float, float]) -> float:
    """The top of the parabola through the highest point and its two neighbours."""
    places = sorted(points)
    middle = min(max(places.index(max(points, key=points.__getitem__)), 1), len(places) - 2)
    left, here, right = places[middle - 1 : middle + 2]
    rise, fall = points[here] - points[left], points[here] - points[right]
    before, after = here - left, right - here
    curved = rise * after + fall * before
    return here + (rise * after**2 - fall * before**2) / (2 * curved) if curved > 0 else here


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """The draw at a converter's output that charges fastest, W. plug_rpm: speed of the rotor above which it is held.

    cliff: W from which on it is not held; None where more draw never brings less. beyond: W that come of a draw above
    the cliff. hand: W of the hand that holds it; zero at a steady speed. set_rpm: speed above which the draw that
    `load` is set to is held, None at none that comes about.
    """

    load: LimitedLoad

    watts: float
    plug_rpm: float
    cliff: float | None
    beyond: float
    hand: float = 0.0
    set_rpm: float | None = None


def steady_draw(source: TheveninSource, load: Load, curve: LoadCurve | None, rpm: float) -> Draw | None:
    """At a steady speed, rpm; `curve`: of the volts held there. None of another load, or without output.

    plug_rpm is then that speed: at any lower one the draw is not held.
    """
    limited = load.limited
    if limited is None or curve is None:
        return None
    eager = steady_state(source, limited.unlimited, rpm)
    if not eager.starts:
        return None
    maximum = limited.efficiency * curve.best_point.load_watts if curve.best > limited.least_input else 0.0
    best, cliff = max(maximum, eager.load_watts), maximum if maximum > eager.load_watts else None
    held = working_rpm(source, load, STEP * limited.most_watts) if limited.most_watts <= best else None
    return Draw(load=limited, watts=best, plug_rpm=rpm, cliff=cliff, beyond=eager.load_watts, set_rpm=held)
