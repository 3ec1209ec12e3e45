"""The most that a source gives any resistance, and its volts with nothing but a meter joined.

Both by the same steady state that every load is computed with, so that no load can get more than the best.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log
from typing import NamedTuple

from geometry.machine.speed import rad_s_of
from optimizer.circuit.diodes import Drop
from optimizer.circuit.loads import BridgeResistor, Load, Resistor
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource

METER_OHMS = 10e6  # of a common digital meter
STRIDE = 0.5  # of the logarithm of the ohms, between the first points tried
REFINEMENTS = 2  # parabolas through the best three: the top is flat, so they come within 1e-4 of its watts
MAX_STRIDES = 30


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
    """A resistance straight across, or behind a bridge of diodes of that drop."""
    return Resistor(ohms=ohms).behind(drop)


def open_volts(source: TheveninSource, rpm: float, drop: Drop | None = None) -> float:
    """RMS volts between two terminals with nothing joined, or direct of a commutated source.

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
