"""The motion in time: strokes, returns and rests, solved step by step with bounded effort.

One equation, dω/dt = a(ω), holds while the hand does one thing; what it does changes when a stroke is used up, at a
beat, or at a rest. Steps are those of a Rosenbrock pair of orders two and three that stays calm however stiff the
rig is (Shampine and Reichelt, The MATLAB ODE Suite, SIAM J. Sci. Comput. 18, 1997, section 3.1, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from math import inf, sqrt

import numpy as np

from geometry.curves.curve import Real
from optimizer.numerics.quadrature import gauss
from optimizer.rigs.drivetrain import Drivetrain, PowerFlow, flow

CEILING_NODE = 12_100  # the hand's ceiling; its pace, a tenth below, is node 11 000
NODES = CEILING_NODE + 243  # speeds at which everything is worked out beforehand
ACCURACY = 1e-7  # of a step, as a share of the speed; and of the top speed where that is larger by a thousand
SLACK = 0.01  # a cubic between good ends may be off by so many times more than they: its errors mostly cancel
MOST_TRIES = 200_000  # steps of a run
D = 1 / (2 + sqrt(2))
E32 = 6 + sqrt(2)


class TooStiff(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """A rig that would need more steps than a run may take."""


class Doing(Enum):
    """What the hand does."""

    PUSH = "push"
    TAKE_UP = "take up"
    RETURN = "return"
    REST = "rest"


@dataclass(frozen=True, slots=True)
class Step:
    """One step: start and length in s, speed in rad/s and acceleration in rad/s² at both ends."""

    start: float
    length: float
    speeds: tuple[float, float]
    slopes: tuple[float, float]
    doing: Doing

    def speed_at(self, share: float) -> float:
        """Speed in the step, on the cubic through both ends."""
        (a, b), (p, q), h = self.speeds, self.slopes, self.length
        s, r = share, 1 - share
        return a * r * r * (1 + 2 * s) + b * s * s * (3 - 2 * s) + h * s * r * (p * r - q * s)


class SpeedTable:
    """A function of speed on an even grid from zero, straight between its nodes and beyond its ends."""

    __slots__ = ("_step", "_top", "_values")

    def __init__(self, values: Real, top: float) -> None:
        self._values: list[float] = values.tolist()
        self._step = top / (len(values) - 1)
        self._top = len(values) - 2

    def __call__(self, speed: float) -> float:
        place = speed / self._step
        index = min(max(int(place), 0), self._top)
        low = self._values[index]
        return low + (self._values[index + 1] - low) * (place - index)

    def slope(self, speed: float) -> float:
        """The steepest fall around `speed`: the least slope of its stretch and of those beside it."""
        index = min(max(int(speed / self._step), 1), self._top - 1)
        a, b, c, d = self._values[index - 1 : index + 3]
        return min(b - a, c - b, d - c) / self._step


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laws:
    """All that flows on a grid of speeds (rad/s) up to `top`, with the hand pushing and off.

    Between its nodes torques (powers over speed), forces and accelerations are straight, so that they balance
    there too. volts, amps: at the load, (NODES,).
    """

    speeds: Real
    pushing: PowerFlow
    off: PowerFlow
    volts: Real
    amps: Real
    push: SpeedTable
    coast: SpeedTable
    hand: SpeedTable
    top: float


def laws_of(drivetrain: Drivetrain) -> Laws:
    """The laws of a train, a little beyond the fastest that the hand can turn it; its force bends at nodes only."""
    top = drivetrain.top_speed * (NODES - 1) / CEILING_NODE
    speeds = np.linspace(0, top, NODES)
    speeds[0] = 1e-9 * top  # as good as rest, and torques are powers over speeds
    pushing, off = flow(drivetrain, speeds, True), flow(drivetrain, speeds, False)
    return Laws(
        speeds=speeds,
        pushing=pushing,
        off=off,
        volts=np.asarray(drivetrain.torque_law.dc_volts(speeds), float),
        amps=np.asarray(drivetrain.torque_law.dc_amps(speeds), float),
        push=SpeedTable(pushing.acceleration, top),
        coast=SpeedTable(off.acceleration, top),
        hand=SpeedTable(pushing.hand, top),
        top=top,
    )


class Clock:
    """Takes steps and counts them. Ends a run at the burst speed: `burst` is then true."""

    def __init__(self, drivetrain: Drivetrain, laws: Laws, speed: float = 0.0, seconds: float = 60.0) -> None:
        self.drivetrain, self.laws, self.speed, self.seconds = drivetrain, laws, speed, seconds
        self.time = 0.0
        self.steps: list[Step] = []
        self.tries = 0
        self.burst = False

    @property
    def over(self) -> bool:
        """Whether the run has ended."""
        return self.burst or self.time >= self.seconds * (1 - 1e-12)

    def run(self, doing: Doing, until: float, travel: float | None = None) -> None:
        """Let the hand do one thing until a time, the run's end or, pushing, a `travel` of it (m) is used up."""
        until = min(until, self.seconds)
        law = self.laws.push if doing is Doing.PUSH else self.laws.coast
        left, length = travel, (until - self.time) / 20
        while not self.over and until - self.time > 1e-12 * self.seconds:
            if self._stopped(law):
                self._keep(doing, until - self.time, 0.0, law, still=True)
                return
            length, used = self._step(doing, law, min(length, until - self.time), left)
            if left is not None:
                left -= used
                if left <= 1e-9 * (travel or 1.0):
                    return

    def _stopped(self, law: SpeedTable) -> bool:
        return self.speed <= 1e-9 * self.laws.top and law(0.0) <= 0

    def _step(self, doing: Doing, law: SpeedTable, length: float, travel: float | None) -> tuple[float, float]:
        """Take one step of at most `length`; returns the length to try next and the travel used."""
        tiny = 1e-9 * self.laws.top
        while True:
            self.tries += 1
            if self.tries > MOST_TRIES:
                raise TooStiff
            end, error = _rosenbrock(law, self.speed, length)
            error = max(error, SLACK * _between_error(law, self.speed, end, length))
            allowed = ACCURACY * max(abs(self.speed), abs(end), 1e-3 * self.laws.top)
            if error > allowed:
                length *= max(0.2, 0.8 * (allowed / error) ** (1 / 3))
                continue
            if end < -tiny:
                length *= max(self.speed, tiny) / (max(self.speed, tiny) - end)
                continue
            used = self._travel(law, length, end) if travel is not None else 0.0
            if travel is not None and used > travel * (1 + 1e-9):
                length *= travel / used
                continue
            self._keep(doing, length, max(end, 0.0) if end > tiny else 0.0, law)
            return length * min(3.0, 0.8 * (allowed / max(error, 1e-30)) ** (1 / 3)), used

    def _travel(self, law: SpeedTable, length: float, end: float) -> float:
        """Of the hand in a step, m: at the rotor's speed while the clutch holds, at its ceiling while it slips."""
        reach, ceiling = self.drivetrain.travel_per_radian, self.drivetrain.ceiling
        step = Step(self.time, length, (self.speed, end), (law(self.speed), law(end)), Doing.PUSH)
        ends = (min(speed * reach, ceiling) for speed in step.speeds)
        return length * (sum(ends) + 4 * min(step.speed_at(0.5) * reach, ceiling)) / 6

    def _keep(self, doing: Doing, length: float, end: float, law: SpeedTable, *, still: bool = False) -> None:
        slopes = (0.0, 0.0) if still else (law(self.speed), law(end))
        speeds = (0.0, 0.0) if still else (self.speed, end)
        self.steps.append(Step(self.time, length, speeds, slopes, doing))
        self.time += length
        self.speed = end
        self.burst = end >= self.drivetrain.burst_speed


def _between_error(law: SpeedTable, start: float, end: float, length: float) -> float:
    """How far the cubic between both ends of a step may be off in the middle: energies are summed along it."""
    p, q = law(start), law(end)
    middle = (start + end) / 2 + length * (p - q) / 8
    slope = 1.5 * (end - start) / length - (p + q) / 4
    return abs(slope - law(middle)) * length / 4


def _rosenbrock(law: SpeedTable, speed: float, length: float) -> tuple[float, float]:
    """Speed after a step, and the error of it."""
    f0 = law(speed)
    weight = max(
        1 - length * D * law.slope(speed), 0.5
    )  # what drives more with speed must not turn a step around
    k1 = f0 / weight
    f1 = law(speed + 0.5 * length * k1)
    k2 = (f1 - k1) / weight + k1
    end = speed + length * k2
    k3 = (law(end) - E32 * (k2 - f1) - 2 * (k1 - f0)) / weight
    return end, abs(length * (k1 - 2 * k2 + k3)) / 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """A run: its steps in order, the times (s) at which strokes (or spells of cranking) begin, and whether it
    ended at the burst speed."""

    steps: tuple[Step, ...]
    stroke_starts: tuple[float, ...]
    burst: bool


def track(drivetrain: Drivetrain, laws: Laws, seconds: float, speed: float = 0.0) -> Track:
    """The motion from rest, or from a `speed` in rad/s, for `seconds`.

    Raises TooStiff when that would take more than MOST_TRIES steps.
    """
    clock = Clock(drivetrain, laws, speed, seconds)
    goes_round = drivetrain.transmission.stroke is None
    starts = tuple(_cranking(clock) if goes_round else _strokes(clock))
    return Track(steps=tuple(clock.steps), stroke_starts=starts, burst=clock.burst)


def stroke_seconds(drivetrain: Drivetrain, strokes: int) -> float:
    """How long the last of some `strokes` takes the hand, s, the first begun at the beat; infinite for a hand so slow
    that there are not two in their time. Raises TooStiff."""
    clock = Clock(drivetrain, laws_of(drivetrain), drivetrain.asked_speed, strokes * drivetrain.operator.period)
    starts = list(_strokes(clock))
    if len(starts) < 2:
        return inf
    driving = (Doing.PUSH, Doing.TAKE_UP)
    last = (step for step in clock.steps if starts[-2] <= step.start < starts[-1])
    return sum(step.length for step in last if step.doing in driving)


def coasting(drivetrain: Drivetrain, laws: Laws, speed: float, seconds: float) -> tuple[Step, ...]:
    """The motion from `speed` (rad/s) with the hand off, until it stands still or `seconds` have passed."""
    clock = Clock(drivetrain, laws, min(speed, laws.top), seconds)
    clock.run(Doing.REST, seconds)
    steps = clock.steps
    return tuple(steps[:-1] if steps and steps[-1].speeds == (0.0, 0.0) else steps)


def _cranking(clock: Clock) -> Iterator[float]:
    operator = clock.drivetrain.operator
    while not clock.over:
        yield clock.time
        if operator.rest == 0:
            clock.run(Doing.PUSH, clock.seconds)
            return
        clock.run(Doing.PUSH, clock.time + operator.work)
        clock.run(Doing.REST, clock.time + operator.rest)


def _strokes(clock: Clock) -> Iterator[float]:
    """Push till the stroke is used up, return, and wait for the beat, or until mean power is down to what lasts."""
    drivetrain, operator, chain = clock.drivetrain, clock.drivetrain.operator, clock.drivetrain.transmission
    assert chain.stroke is not None
    cycle = operator.work + operator.rest
    spell = 0.0
    while not clock.over:
        if operator.rest > 0 and clock.time >= spell + operator.work:
            spell += cycle
            clock.run(Doing.REST, spell)
            continue
        start, first = clock.time, len(clock.steps)
        yield start
        if chain.lost_travel > 0:
            clock.run(Doing.TAKE_UP, start + chain.lost_travel / drivetrain.ceiling)
        clock.run(Doing.PUSH, clock.seconds, chain.stroke - chain.lost_travel)
        work = _hand_work(clock, first)
        back = clock.time + (1 - operator.push_share) * operator.period
        clock.run(Doing.RETURN, back)
        wait = max(start + operator.period, start + work * operator.working_share / operator.lasting_power)
        clock.run(Doing.REST, wait)


def _hand_work(clock: Clock, first: int) -> float:
    """Of the hand since step `first`, J."""
    nodes, weights = gauss(2)
    hand = clock.laws.hand
    work = 0.0
    for step in clock.steps[first:]:
        if step.doing is Doing.PUSH:
            mean = sum(
                w * hand(step.speed_at(x)) for x, w in zip(nodes.tolist(), weights.tolist(), strict=True)
            )
            work += step.length * mean
        elif step.doing is Doing.TAKE_UP:
            work += step.length * clock.drivetrain.transmission.return_force * clock.drivetrain.ceiling
    return work
