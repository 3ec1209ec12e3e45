"""A run summed up: all that flows, over the time of each of its steps; and its speeds at points of time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geometry.curves.curve import Real
from optimizer.rigs.drivetrain import POWERS, Drivetrain
from optimizer.rigs.motion import Doing, Laws, Step


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
    """The sums of all steps. least_volts: from which on they are of use."""
    start = np.array([step.start for step in steps])
    seconds = np.array([step.length for step in steps])
    speeds = np.array([step.speeds for step in steps])
    pushing, idling = (doing_of(steps) == doing for doing in (Doing.PUSH, Doing.FREE_TRAVEL))
    ways = [
        (law, here, law.after(speeds[here, 0], seconds[here]), flows)
        for law, here, flows in ((laws.push, pushing, laws.pushing), (laws.coast, ~pushing, laws.off))
    ]

    def summed(values: Sequence[Real], *, power: bool = False) -> Real:
        found = np.zeros(len(steps))
        for (law, here, passage, _), each in zip(ways, values, strict=True):
            found[here] = law.integral(law.channel(each, power=power), passage)
        return found

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
    """Speed of the rotor (rad/s) and what the hand does at each of `times` (s, ascending)."""
    start = np.array([step.start for step in steps])
    at = np.clip(np.searchsorted(start, times, side="right") - 1, 0, len(steps) - 1)
    first = np.array([step.speeds[0] for step in steps])[at]
    doing = doing_of(steps)[at]
    pushing, since = doing == Doing.PUSH, times - start[at]
    ends = (law.after(first, since).end for law in (laws.push, laws.coast))
    return np.where(pushing, *ends), doing


def doing_of(steps: Sequence[Step]) -> NDArray[np.object_]:
    """What the hand does in each step."""
    return np.array([step.doing for step in steps], dtype=object)
