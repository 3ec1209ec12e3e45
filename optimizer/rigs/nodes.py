"""A run looked at in points of time: speeds on the cubics of its steps, and all that flows at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geometry.curves.curve import Real
from optimizer.numerics.quadrature import gauss
from optimizer.rigs.drivetrain import POWERS, Drivetrain
from optimizer.rigs.motion import Doing, Laws, Step

POINTS = 4  # of the quadrature in every step
KINDS = list(Doing)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Nodes:
    """Values at N points of time in ascending order. weight: s, for sums over time; doing: index of KINDS."""

    time: Real
    weight: Real
    doing: NDArray[np.int64]
    speed: Real
    hand_force: Real
    hand_speed: Real
    dc_volts: Real
    dc_amps: Real
    powers: dict[str, Real]

    def integral(self, values: Real) -> float:
        """Of values (N,) over time."""
        return float(values @ self.weight)

    @property
    def driving(self) -> Real:
        """One where the hand drives, else zero, (N,)."""
        return np.asarray(self.doing == KINDS.index(Doing.PUSH), np.float64)

    def between(self, start: float, end: float) -> Nodes:
        """The points from `start` to `end` (s)."""
        part = slice(*np.searchsorted(self.time, [start, end]).tolist())
        cut = {name: values[part] for name, values in self.powers.items()}
        return replace(
            self, time=self.time[part], weight=self.weight[part], doing=self.doing[part], speed=self.speed[part],
            hand_force=self.hand_force[part], hand_speed=self.hand_speed[part], dc_volts=self.dc_volts[part],
            dc_amps=self.dc_amps[part], powers=cut,
        )  # fmt: skip

    def first_time(self, condition: NDArray[np.bool_]) -> float | None:
        """When `condition` (N,) first holds, s."""
        found = np.flatnonzero(condition)
        return float(self.time[found[0]]) if found.size else None


def nodes_of(drivetrain: Drivetrain, laws: Laws, steps: Sequence[Step], times: Real | None = None) -> Nodes:
    """The nodes of a quadrature over all steps, or the points at `times` (ascending, s; their weights are zero)."""
    start, length = _column(steps, "start"), _column(steps, "length")
    doing = np.array([KINDS.index(step.doing) for step in steps])
    if times is None:
        share, weight = gauss(POINTS)
        at = np.repeat(np.arange(len(steps)), POINTS)
        shares, weights = np.tile(share, len(steps)), np.tile(weight, len(steps)) * length[at]
        times = start[at] + shares * length[at]
    else:
        at = np.clip(np.searchsorted(start, times, side="right") - 1, 0, len(steps) - 1)
        shares, weights = np.clip((times - start[at]) / length[at], 0, 1), np.zeros(times.size)
    speed = _speeds(steps, length, at, shares)
    return _filled(drivetrain, laws, times, weights, doing[at], np.maximum(speed, 0.0))


def _column(steps: Sequence[Step], name: str) -> Real:
    return np.array([getattr(step, name) for step in steps])


def _speeds(steps: Sequence[Step], length: Real, at: NDArray[np.int64], s: Real) -> Real:
    a, b = np.array([step.speeds for step in steps])[at].T
    p, q = np.array([step.slopes for step in steps])[at].T
    r = 1 - s
    return a * r * r * (1 + 2 * s) + b * s * s * (3 - 2 * s) + length[at] * s * r * (p * r - q * s)


def _filled(
    drivetrain: Drivetrain, laws: Laws, time: Real, weight: Real, doing: NDArray[np.int64], speed: Real
) -> Nodes:
    pushing, taking_up = doing == KINDS.index(Doing.PUSH), doing == KINDS.index(Doing.TAKE_UP)

    def either(name: str, over: Real | float = 1.0) -> Real:
        flows = (laws.pushing, laws.off)
        on, off = (np.interp(speed, laws.speeds, getattr(flow, name) / over) for flow in flows)
        return np.where(pushing, on, off)

    spring = np.where(taking_up, drivetrain.transmission.return_force, 0.0)
    idle = np.where(taking_up, drivetrain.ceiling, 0.0)
    powers = {name: either(name, laws.speeds) * speed for name in POWERS}
    for name in ("hand", "spring"):
        powers[name] = powers[name] + spring * idle
    return Nodes(
        time=time,
        weight=weight,
        doing=doing,
        speed=speed,
        hand_force=either("hand_force") + spring,
        hand_speed=either("hand_speed") + idle,
        dc_volts=np.interp(speed, laws.speeds, laws.volts),
        dc_amps=np.interp(speed, laws.speeds, laws.amps),
        powers=powers,
    )
