"""The motion in time: strokes, returns and rests, each in closed form (see `law_of_motion`).

One equation, dω/dt = a(ω), holds while the hand does one thing; what it does changes when a stroke is used up, at the
end of its time, or at a rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import inf

import numpy as np

from geometry.curves.curve import Real
from optimizer.rigs.drivetrain import Drivetrain, PowerFlow, flow
from optimizer.rigs.law_of_motion import Channel, MotionLaw

CEILING_NODE = 12_100  # the hand's ceiling; its pace, a tenth below, is node 11 000
NODES = CEILING_NODE + 243  # speeds at which everything is worked out beforehand


class Doing(Enum):
    """What the hand does."""

    PUSH = "push"
    FREE_TRAVEL = "free travel"
    RETURN = "return"
    REST = "rest"


@dataclass(frozen=True, slots=True)
class Step:
    """A time in which the hand does one thing: start and length in s, speeds of the rotor at both ends in rad/s."""

    start: float
    length: float
    speeds: tuple[float, float]
    doing: Doing

    @property
    def end(self) -> float:
        """s."""
        return self.start + self.length


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laws:
    """All that flows on a grid of speeds (rad/s), with the hand pushing and off, and the motions that follow.

    Between its nodes torques (powers over speed), forces and accelerations are straight, so that they balance
    there too. travel, work: of the hand that pushes, m and J.
    """

    speeds: Real
    pushing: PowerFlow
    off: PowerFlow
    push: MotionLaw
    coast: MotionLaw
    travel: Channel
    work: Channel

    def law(self, doing: Doing) -> MotionLaw:
        """The motion while the hand does so."""
        return self.push if doing is Doing.PUSH else self.coast


def laws_of(drivetrain: Drivetrain) -> Laws:
    """The laws of a drivetrain, a little beyond the fastest that the hand can turn it; its force bends at nodes."""
    top = drivetrain.top_speed * (NODES - 1) / CEILING_NODE
    speeds = np.linspace(0, top, NODES)
    speeds[0] = 1e-9 * top  # as good as rest, and torques are powers over speeds
    pushing, off = flow(drivetrain, speeds, True), flow(drivetrain, speeds, False)
    push = MotionLaw(speeds, pushing.acceleration)
    return Laws(
        speeds=speeds,
        pushing=pushing,
        off=off,
        push=push,
        coast=MotionLaw(speeds, off.acceleration),
        travel=push.channel(pushing.hand_speed),
        work=push.channel(pushing.hand / speeds, power=True),
    )


class Clock:
    """Takes steps one after the other. Ends a run at the burst speed: `burst` is then true."""

    def __init__(self, drivetrain: Drivetrain, laws: Laws, speed: float = 0.0, seconds: float = 60.0) -> None:
        self.drivetrain, self.laws, self.speed, self.seconds = drivetrain, laws, speed, seconds
        self.time = 0.0
        self.steps: list[Step] = []
        self.burst = False

    @property
    def over(self) -> bool:
        """Whether the run has ended."""
        return self.burst or self.time >= self.seconds * (1 - 1e-12)

    def run(self, doing: Doing, until: float, travel: float = inf) -> float:
        """Let the hand do one thing until a time, the run's end or, pushing, a `travel` of it (m) is used up. Returns
        the hand's work, J."""
        length = min(until, self.seconds) - self.time
        if self.over or length <= 1e-12 * self.seconds:
            return 0.0
        law = self.laws.law(doing)
        if travel < inf:
            length = law.seconds_until(self.speed, self.laws.travel, travel, length)
        passage = law.after(self.speed, length)
        end = float(passage.end)
        if end >= self.drivetrain.burst_speed:
            self.burst, end = True, self.drivetrain.burst_speed
            length = law.seconds_to(self.speed, end)
            passage = law.after(self.speed, length)
        self.steps.append(Step(self.time, length, (self.speed, end), doing))
        self.time += length
        self.speed = end
        if doing is Doing.FREE_TRAVEL:
            return length * self.drivetrain.transmission.return_force * self.drivetrain.ceiling
        return float(law.integral(self.laws.work, passage)) if doing is Doing.PUSH else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """A run: its steps in order, the times (s) at which strokes (or spells of cranking) begin, and whether it
    ended at the burst speed."""

    steps: tuple[Step, ...]
    stroke_starts: tuple[float, ...]
    burst: bool


def track(drivetrain: Drivetrain, laws: Laws, seconds: float, speed: float = 0.0) -> Track:
    """The motion from rest, or from a `speed` in rad/s, for `seconds`."""
    clock = Clock(drivetrain, laws, speed, seconds)
    goes_round = drivetrain.transmission.stroke is None
    starts = tuple(_cranking(clock) if goes_round else _strokes(clock))
    return Track(steps=tuple(clock.steps), stroke_starts=starts, burst=clock.burst)


def stroke_seconds(drivetrain: Drivetrain, strokes: int) -> float:
    """How long the last of some `strokes` takes the hand, s, the first begun at the beat; infinite for a hand so slow
    that there are not two in their time."""
    clock = Clock(
        drivetrain, laws_of(drivetrain), drivetrain.asked_speed, strokes * drivetrain.operator.period
    )
    starts = list(_strokes(clock))
    if len(starts) < 2:
        return inf
    driving = (Doing.PUSH, Doing.FREE_TRAVEL)
    last = (step for step in clock.steps if starts[-2] <= step.start < starts[-1])
    return sum(step.length for step in last if step.doing in driving)


def split(laws: Laws, steps: Sequence[Step], time: float) -> list[Step]:
    """The steps, the one that reaches over `time` (s) divided there."""
    parts: list[Step] = []
    for step in steps:
        first, last = step.speeds
        if step.start < time < step.end:
            before = time - step.start
            middle = float(laws.law(step.doing).after(first, before).end)
            parts += [
                replace(step, length=before, speeds=(first, middle)),
                replace(step, start=time, length=step.end - time, speeds=(middle, last)),
            ]
        else:
            parts.append(step)
    return parts


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
        start = clock.time
        yield start
        work = clock.run(Doing.FREE_TRAVEL, start + chain.free_travel / drivetrain.ceiling)
        work += clock.run(Doing.PUSH, clock.seconds, chain.stroke - chain.free_travel)
        back = clock.time + (1 - operator.push_share) * operator.period
        clock.run(Doing.RETURN, back)
        wait = max(start + operator.period, start + work * operator.working_share / operator.lasting_power)
        clock.run(Doing.REST, wait)
