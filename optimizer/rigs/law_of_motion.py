"""The motion of one turning mass in closed form, whatever it asks of the shaft.

dω/dt = a(ω), straight between the nodes of a table. From a speed ω with acceleration a the rotor is at
ω + a t (e^z − 1)/z after t within its stretch, where z = t da/dω. How long whole stretches take, and what is given and
used in them, is summed up beforehand, so that a motion over any number of them is a difference of two sums.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import factorial, inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.curves.curve import Real

NEAR = 0.5  # z below which powers of z stand for quotients that would lose digits
TERMS = 16
SECOND = [1 / factorial(k + 2) for k in range(TERMS)]  # (e^z − 1 − z)/z²
SQUARE = [
    (2 ** (k + 2) - 2) / (factorial(k + 2) * (k + 3)) for k in range(TERMS)
]  # mean of ((e^zs − 1)/z)² over s
NEWTON_STEPS = 60
FINE = 1e-8  # of a time: by the next step it would be sure to some 16 digits

_Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Piece:
    """Parts of motions within one stretch of the table each. place: of the stretch; entry: speed at which the part
    begins, rad/s; rate: acceleration there, rad/s²; seconds: how long it takes. All (M,), or scalar."""

    place: _Places
    entry: Real
    rate: Real
    seconds: Real


@dataclass(frozen=True, slots=True)
class Passage:
    """Motions: the first part of each, the whole stretches from node `low` to node `high`, the last part, and the
    speed at the end in rad/s. All (M,), or scalar."""

    first: Piece
    low: _Places
    high: _Places
    last: Piece
    end: Real


@dataclass(frozen=True, slots=True)
class Channel:
    """What flows at each node, (N,), any unit, straight between them. crossed: its sum over time from the lowest on.

    power: whether the flow is this times the speed, as power is torque times speed.
    """

    values: Real
    crossed: Real
    power: bool


class MotionLaw:
    """The motion under an acceleration (N,) in rad/s² at `speeds` (N,) in rad/s, which ascend from about rest.

    At the highest speed nothing accelerates any more; at the lowest the rotor stands: below it, a speed is zero.
    """

    __slots__ = ("_above", "_acceleration", "_below", "_clock", "_slopes", "_whole", "speeds")

    def __init__(self, speeds: Real, acceleration: Real) -> None:
        self.speeds, self._acceleration = speeds, acceleration
        low, high = acceleration[:-1], acceleration[1:]
        self._slopes = np.diff(acceleration) / np.diff(speeds)
        passed = np.sign(low) * np.sign(high) > 0  # the others are never left towards where a is zero
        places = np.arange(low.size)
        self._above = np.append(
            np.minimum.accumulate(np.where(passed, low.size - 1, places)[::-1])[::-1], low.size - 1
        )
        self._below = np.insert(np.maximum.accumulate(np.where(passed, -1, places)), 0, -1)
        rises = high > 0
        entry = np.where(rises, speeds[:-1], speeds[1:])
        rate = np.where(rises, low, high)
        seconds = np.zeros(low.size)
        seconds[passed] = _crossing(
            np.diff(speeds)[passed], np.abs(rate[passed]), np.abs(np.where(rises, high, low)[passed])
        )
        self._whole = Piece(places, entry, rate, seconds)
        self._clock = _summed(seconds)

    def after(self, speed: ArrayLike, seconds: ArrayLike) -> Passage:
        """The motions from `speed` (rad/s) for `seconds` (of the same shape, or they broadcast)."""
        speed, seconds = np.maximum(speed, self.speeds[0]), np.asarray(seconds, float)
        place, rate, leaving = self._entered(speed)
        up, stays = rate > 0, seconds <= leaving
        node = np.where(up, place + 1, place)
        left = np.where(stays, 0.0, seconds - leaving)
        goal, start, rest = self._located(node, up, left)
        first = Piece(place, speed, rate, np.minimum(seconds, leaving))
        stands = goal < 0
        entry = self.speeds[start]
        last = Piece(
            np.maximum(goal, 0),
            entry,
            np.where(stands, 0.0, self._acceleration[start]),
            np.where(stays, 0.0, rest),
        )
        start = np.where(stays, node, start)
        end = np.where(stays, self._speed(first), self._speed(last))
        end = np.where(end > self.speeds[0], end, 0.0)
        return Passage(first, np.minimum(node, start), np.maximum(node, start), last, end)

    def channel(self, values: Real, *, power: bool = False) -> Channel:
        """A flow at the law's speeds, (N,), in any unit, ready to be summed."""
        return Channel(values, _summed(self._over(values, power, self._whole)), power)

    def integral(self, channel: Channel, passage: Passage) -> Real:
        """Of a flow over the time of each motion, (M,), in the flow's unit times s."""
        whole = channel.crossed[passage.high] - channel.crossed[passage.low]
        ends = (self._over(channel.values, channel.power, part) for part in (passage.first, passage.last))
        return whole + sum(ends)

    def seconds_until(self, speed: float, channel: Channel, amount: float, latest: float) -> float:
        """When a flow that never stops has come to `amount`, s after it began at `speed` (rad/s); at most `latest` (s).

        By Newton's method, and by halving where that would leave the times between which it must lie.
        """
        low, high, time = 0.0, latest, latest
        for _ in range(NEWTON_STEPS):
            passage = self.after(speed, time)
            beyond = float(self.integral(channel, passage)) - amount
            if beyond <= 0 and time == latest:
                break
            low, high = (low, time) if beyond > 0 else (time, high)
            step = beyond / float(np.interp(passage.end, self.speeds, channel.values))
            time = time - step if low <= time - step <= high else (low + high) / 2
            if abs(step) <= FINE * time:
                break
        return time

    def seconds_to(self, speed: float, goal: float) -> float:
        """How long it takes from `speed` to `goal` (rad/s), s; infinite where it never comes there."""
        way = self._way(max(speed, float(self.speeds[0])), max(goal, float(self.speeds[0])))
        rates = np.interp(way, self.speeds, self._acceleration)
        if (rates * np.sign(goal - speed) <= 0).any() and way.size > 1:
            return inf
        rates = np.abs(rates)
        return float(_crossing(np.abs(np.diff(way)), rates[:-1], rates[1:]).sum())

    def first_time(self, speeds: tuple[float, float], values: Real, least: float) -> float | None:
        """When `values` (N,) come to at least `least` on the way from one speed to another (rad/s): s, or None."""
        way = self._way(*speeds)
        spare = np.interp(way, self.speeds, values) - least
        held = np.flatnonzero(spare >= 0)
        if not held.size:
            return None
        at = int(held[0])
        if at == 0:
            return 0.0
        before, then = float(spare[at - 1]), float(spare[at])
        return self.seconds_to(speeds[0], float(way[at - 1] + (way[at] - way[at - 1]) * before / (before - then)))

    def _way(self, start: float, end: float) -> Real:
        """Speeds from one to another, the nodes between them included; one alone where both are the same."""
        low, high = sorted((start, end))
        between = self.speeds[(self.speeds > low) & (self.speeds < high)]
        way = np.concatenate([[start], between if end > start else between[::-1], [end]])
        return way if end != start else way[:1]

    def _entered(self, speed: Real) -> tuple[_Places, Real, Real]:
        """Stretch that a motion from `speed` begins in, its acceleration, and when it leaves that, or infinity."""
        nodes, last = self.speeds, self._slopes.size - 1
        place = np.clip(np.searchsorted(nodes, speed, "right") - 1, 0, last)
        rate = self._acceleration[place] + self._slopes[place] * (speed - nodes[place])
        at_node = speed <= nodes[place]
        rate = np.where(at_node & (place == 0), np.maximum(rate, 0.0), rate)
        place = np.where(at_node & (rate < 0), place - 1, place)
        node = np.where(rate > 0, place + 1, place)
        far = self._acceleration[node]
        leaves = np.sign(far) * np.sign(rate) > 0
        safe = (
            np.where(leaves, each, 1.0) for each in (np.abs(nodes[node] - speed), np.abs(rate), np.abs(far))
        )
        return place, rate, np.where(leaves, _crossing(*safe), inf)

    def _located(self, node: _Places, up: NDArray[np.bool_], left: Real) -> tuple[_Places, _Places, Real]:
        """Where a motion from a node is after `left` s: the stretch, −1 where it stands, the node at which it entered
        that, and how much of the time is left for it."""
        clock = self._clock
        mark = clock[node] + np.where(up, left, -left)
        above = np.minimum(np.searchsorted(clock, mark, "right") - 1, self._above[node])
        below = np.maximum(np.searchsorted(clock, mark, "left") - 1, self._below[node])
        highest = self._slopes.size - 1
        goal = np.where(up, np.minimum(np.maximum(above, node), highest), np.minimum(below, node - 1))
        start = np.where(up, goal, goal + 1)
        return goal, start, np.abs(mark - clock[start])

    def _speed(self, part: Piece) -> Real:
        """At the end of a part, rad/s."""
        z = self._slopes[part.place] * part.seconds
        safe = np.where(z == 0, 1.0, z)
        return part.entry + part.rate * part.seconds * np.where(z == 0, 1.0, np.expm1(safe) / safe)

    def _over(self, values: Real, power: bool, part: Piece) -> Real:
        """A flow summed over the time of a part."""
        place, entry, time = part.place, part.entry, part.seconds
        width = self.speeds[place + 1] - self.speeds[place]
        slope = (values[place + 1] - values[place]) / width
        start = values[place] + slope * (entry - self.speeds[place])
        z = self._slopes[place] * time
        gained = part.rate * time**2 * _second(z)  # speed above that at entry, over time
        if not power:
            return start * time + slope * gained
        square = part.rate**2 * time**3 * _square(z)
        return entry * start * time + (start + slope * entry) * gained + slope * square


def _crossing(width: Real, start: Real, end: Real) -> Real:
    """Time from one speed to another, `width` apart, with accelerations `start` and `end` of one sign there."""
    growth = (end - start) / start
    safe = np.where(growth == 0, 1.0, growth)
    return width / start * np.where(growth == 0, 1.0, np.log1p(safe) / safe)


def _summed(values: Real) -> Real:
    return np.concatenate([[0.0], np.cumsum(values)])


def _second(z: Real) -> Real:
    safe = np.where(np.abs(z) < NEAR, 1.0, z)
    near = np.polynomial.polynomial.polyval(np.clip(z, -NEAR, NEAR), SECOND)
    return np.where(np.abs(z) < NEAR, near, (np.expm1(safe) - safe) / safe**2)


def _square(z: Real) -> Real:
    safe = np.where(np.abs(z) < NEAR, 1.0, z)
    grown = np.expm1(safe)
    near = np.polynomial.polynomial.polyval(np.clip(z, -NEAR, NEAR), SQUARE)
    return np.where(np.abs(z) < NEAR, near, ((grown**2 - 2 * grown) / (2 * safe) + 1) / safe**2)
