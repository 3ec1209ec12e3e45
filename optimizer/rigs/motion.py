"""The motion in time: strokes, returns and rests, each in closed form (see `law_of_motion`).

One equation, dω/dt = a(ω), holds while the hand does one thing; what it does changes when a stroke is used up, at the
end of its time, or at a rest.

A hand that keeps its cadence eases off where the cadence asked for is the one that comes about. Whoever keeps time
hears the beat and gives a little more or less until the beats meet: the mean is the cadence asked for, whatever the
load. The hand's force falls over a tenth of its pace (`operator.eased`), so the pace that does this lies between a
tenth below the cadence, where nothing brakes, and the cadence itself, above which nobody aims: a hand that falls short
of it even so is too weak for it, and keeps less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import inf

import numpy as np
from numpy.typing import NDArray

from geometry.curves.curve import Real
from optimizer.numerics.roots import root_between
from optimizer.rigs.drivetrain import POWERS, Drivetrain, PowerFlow, flow
from optimizer.rigs.law_of_motion import Channel, MotionLaw
from optimizer.rigs.operator import EASING

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
    """All that flows on a grid of speeds (NODES,), rad/s, with the hand pushing and off, and the motions that follow.

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
    """How long the last of some `strokes` takes the hand, s, the first begun at the cadence asked for; infinite for a
    hand so slow that there are not two in their time."""
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
    """Push till the stroke is used up, return, and wait for the next, or until mean power is down to what lasts."""
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


PACED_STROKES = 10  # begun at the cadence, after which one is like the next
PACE_FINE = 1e-4  # of the cadence asked for; how near the pace is found


def paced(drivetrain: Drivetrain) -> Drivetrain:
    """The train, its hand easing off so that it keeps its cadence if it can."""
    slack = _speeding if drivetrain.transmission.stroke is None else _earliness
    swing = in_full_swing(drivetrain)
    maximum = drivetrain.asked_hand_speed
    if slack(swing, maximum) <= 0:
        return replace(drivetrain, pace=maximum)
    pace = root_between(lambda at: slack(swing, at), maximum / (1 + EASING), maximum, PACE_FINE * maximum)
    return replace(drivetrain, pace=pace)


def in_full_swing(drivetrain: Drivetrain) -> Drivetrain:
    """The train without its hand's rests (they keep their share in what lasts), and bursting at no speed."""
    operator = drivetrain.operator
    steady = replace(operator, rest=0.0, lasting_power=operator.lasting_power / operator.working_share)
    return replace(drivetrain, operator=steady, burst_speed=inf)


def _speeding(drivetrain: Drivetrain, pace: float) -> float:
    """How the rotor gains speed at the cadence asked for, rad/s²: of a hand that goes round."""
    at_cadence = flow(replace(drivetrain, pace=pace), np.array([drivetrain.asked_speed]), True)
    return float(at_cadence.acceleration[0])


def _earliness(drivetrain: Drivetrain, pace: float) -> float:
    """By how much a stroke is done before its time, s."""
    operator = drivetrain.operator
    return operator.push_share * operator.period - stroke_seconds(replace(drivetrain, pace=pace), PACED_STROKES)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sums:
    """Sums over the time of each of N steps, (N,). start: of the step, s; seconds: its length; driving: s in which the
    hand drives; force: of the hand that drives, N s; peak_force: the most of it, N; speeds: of the rotor at both ends,
    (N, 2), rad/s; travel: of that hand, m; angle: of the rotor, rad; volts, amps: at
    the load, V s and A s; powers: J by name; useful: J that the load gets at volts that are of use."""

    start: Real
    seconds: Real
    driving: Real
    force: Real
    peak_force: Real
    speeds: Real
    travel: Real
    angle: Real
    volts: Real
    amps: Real
    useful: Real
    powers: dict[str, Real]

    def between(self, start: float, end: float) -> Sums:
        """Of the steps that begin from `start` to `end` (s)."""
        part = slice(*np.searchsorted(self.start, [start - 1e-9, end - 1e-9]).tolist())
        cut = {name: getattr(self, name)[part] for name in self.__slots__ if name != "powers"}
        return replace(self, **cut, powers={name: values[part] for name, values in self.powers.items()})


def sums_of(drivetrain: Drivetrain, laws: Laws, steps: Sequence[Step], least_volts: float = 0.0) -> Sums:
    """The sums of all steps. least_volts: V from which on they are of use."""
    start = np.array([step.start for step in steps])
    seconds = np.array([step.length for step in steps])
    speeds = np.array([step.speeds for step in steps])
    pushing, idling = (doing_of(steps) == doing for doing in (Doing.PUSH, Doing.FREE_TRAVEL))
    ways = [
        (law, here, law.after(speeds[here, 0], seconds[here]), flows)
        for law, here, flows in ((laws.push, pushing, laws.pushing), (laws.coast, ~pushing, laws.off))
    ]

    def summed(values: Sequence[Real], *, power: bool = False) -> Real:
        totals = np.zeros(len(steps))
        for (law, here, passage, _), each in zip(ways, values, strict=True):
            totals[here] = law.integral(law.channel(each, power=power), passage)
        return totals

    def both(name: str) -> list[Real]:
        return [getattr(flows, name) for *_, flows in ways]

    powers = {name: summed([each / laws.speeds for each in both(name)], power=True) for name in POWERS}
    useful = [each / laws.speeds * (laws.off.volts >= least_volts) for each in both("load")]
    idle = drivetrain.transmission.return_force * drivetrain.ceiling * np.where(idling, seconds, 0.0)
    return Sums(
        start=start,
        seconds=seconds,
        driving=np.where(pushing, seconds, 0.0),
        force=summed(both("hand_force")),
        peak_force=np.where(
            pushing, np.interp(speeds, laws.speeds, laws.pushing.hand_force).max(axis=1), 0.0
        ),
        speeds=speeds,
        travel=summed(both("hand_speed")),
        angle=summed([laws.speeds] * 2),
        volts=summed([laws.off.volts] * 2),
        amps=summed([laws.off.amps] * 2),
        useful=summed(useful, power=True),
        powers=powers | {name: powers[name] + idle for name in ("hand", "spring")},
    )


def speeds_at(laws: Laws, steps: Sequence[Step], times: Real) -> tuple[Real, NDArray[np.object_]]:
    """Speed of the rotor (N,) in rad/s and what the hand does at `times` (N,), s, ascending."""
    start = np.array([step.start for step in steps])
    at = np.clip(np.searchsorted(start, times, side="right") - 1, 0, len(steps) - 1)
    first = np.array([step.speeds[0] for step in steps])[at]
    doing = doing_of(steps)[at]
    pushing, since = doing == Doing.PUSH, times - start[at]
    ends = (law.after(first, since).end for law in (laws.push, laws.coast))
    return np.where(pushing, *ends), doing


def doing_of(steps: Sequence[Step]) -> NDArray[np.object_]:
    """What the hand does in each of N steps, (N,)."""
    return np.array([step.doing for step in steps], dtype=object)
