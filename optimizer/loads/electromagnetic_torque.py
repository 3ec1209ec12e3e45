"""At what speed a load begins to work, and what it takes from the shaft at any speed, fast enough for a simulation.

The load points at a few speeds are interpolated as watts over speed squared (monotone cubics); torque times speed
is the sum of the powers at every speed by construction.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import Diode, knee_volts
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import Means, steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.roots import root_between

if TYPE_CHECKING:
    from scipy.interpolate import PchipInterpolator

FASTEST = 60_000.0  # rpm, beyond which no speed is looked for
FINE = 1e-6  # of a speed, relative
BESIDE = 0.02  # of a speed, how far to both sides a speed near it is looked for
POINTS = 64  # speeds at which load points are computed
FEW = 10  # the same of a converter that gives all it can, whose curves are smooth
STEP = 1e-4  # relative width of the step at which a converter gives all it can


def cut_in_speed(source: TheveninSource, load: Load) -> float:
    """Speed of the shaft in rad/s at which output begins."""
    return load.threshold / source.peak_constant


def working_rpm(source: TheveninSource, load: Load, watts: float, near: float | None = None) -> float | None:
    """Lowest speed at which the load gets `watts`; None when there is none below 60 000 rpm.

    A converter cannot get more than its own most. With a large reactance the watts level off, so some are never got.
    near: rpm beside which it is looked for first.
    """
    low = rpm_of(cut_in_speed(source, load))
    if watts <= 0:
        return low

    def beyond(rpm: float) -> float:
        return steady_state(source, load, rpm).load_watts - watts

    high, at_low, at_high = max(1.5 * low, 1.0), -watts, 0.0
    beside = [] if near is None else [(side * near, beyond(side * near)) for side in (1 - BESIDE, 1 + BESIDE)]
    if beside and beside[0][0] > low and beside[0][1] < 0 < beside[1][1]:
        (low, at_low), (high, at_high) = beside
    else:
        while (at_high := beyond(high)) < 0:
            low, at_low, high = high, at_high, 1.5 * high
            if high > FASTEST:
                return None
    return root_between(beyond, low, high, FINE * high, (at_low, at_high))


@dataclass(frozen=True, slots=True, eq=False)
class ElectromagneticTorque:
    """Means over an electrical period against the shaft's speed in rad/s (any shape; its sign does not matter).

    Beyond the fastest speed that was asked for, the torque stays what it is there, but for that of eddy currents, which
    grows with the speed everywhere. eddy: W per (rad/s)².
    """

    fastest: float
    starts_at: float
    eddy: float
    _squares: PchipInterpolator
    _amps: PchipInterpolator
    _volts: PchipInterpolator

    def at(self, speed: ArrayLike) -> Means:
        """The means at `speed` (rad/s, of any shape): torque against the motion, with the sign of the speed."""
        speed = np.asarray(speed, float)
        within = np.minimum(np.abs(speed), self.fastest)
        begun = within > self.starts_at
        held = np.where(within < self.fastest, 1.0, within / np.maximum(np.abs(speed), 1e-300))
        squares = np.asarray(self._squares(within), float) * held[..., None]
        over_square = np.where(begun[..., None], np.maximum(squares, 0.0), 0.0)
        load, copper, diodes, _ = np.moveaxis(over_square * (speed**2)[..., None], -1, 0)
        known = np.maximum(within, float(self._volts.x[0]))  # the curves are not asked beyond what they know
        volts, amps = (
            np.where(begun, np.asarray(curve(known), float), 0.0) for curve in (self._volts, self._amps)
        )
        return Means(
            torque=(over_square.sum(axis=-1) + self.eddy) * speed,
            watts=load,
            copper=copper,
            diodes=diodes,
            eddy=self.eddy * speed**2,
            volts=volts,
            amps=amps,
        )


def electromagnetic_torque(source: TheveninSource, load: Load, fastest_rpm: float) -> ElectromagneticTorque:
    """The torque law up to `fastest_rpm` (above zero), in N·m and W."""
    if not 0 < fastest_rpm < float("inf"):
        raise ValueError(f"fastest_rpm must be above zero, was {fastest_rpm:g}")
    fastest = rad_s_of(fastest_rpm)
    starts = 0.0 if source.connection == "delta" else _begins(source, load)
    points = {speed: steady_state(source, load, rpm_of(speed)) for speed in _all_speeds(source, load, fastest)}
    if load.limited:
        points |= _step(source, load, points)
    return _through(source, points, starts, fastest)


def full_draw_torque(source: TheveninSource, load: Load, from_rpm: float, fastest_rpm: float) -> ElectromagneticTorque:
    """Of a converter that gives all it can from a speed, rpm, at which it does; below as if unplugged."""
    starts, fastest = rad_s_of(from_rpm), rad_s_of(fastest_rpm)
    speeds = np.linspace(starts, fastest, FEW).tolist()
    return _through(source, {speed: steady_state(source, load, rpm_of(speed)) for speed in speeds}, starts, fastest)


def _through(
    source: TheveninSource, points: dict[float, LoadPoint], starts: float, fastest: float
) -> ElectromagneticTorque:
    """The torque law through load points by their speeds in rad/s."""
    from scipy.interpolate import PchipInterpolator

    speeds = np.array(sorted(points))
    ordered = [points[speed] for speed in speeds.tolist()]
    powers = [(p.load_watts, p.copper_watts, p.diode_watts, p.converter_watts) for p in ordered]
    squares = np.array(powers) / speeds[:, None] ** 2
    return ElectromagneticTorque(
        fastest,
        starts,
        source.eddy,
        PchipInterpolator(speeds, squares),
        PchipInterpolator(speeds, [point.dc_amps for point in ordered]),
        PchipInterpolator(speeds, [point.dc_volts for point in ordered]),
    )


def _all_speeds(source: TheveninSource, load: Load, fastest: float) -> list[float]:
    """Speeds at which load points are taken; in a delta a current may run before there is any output."""
    speeds = _speeds(min(_begins(source, load), fastest), fastest)
    return sorted({*speeds, *_speeds(0.0, fastest)}) if source.connection == "delta" else speeds


def _begins(source: TheveninSource, load: Load) -> float:
    """Speed in rad/s below which nothing worth the name is taken: half that of a milliampere behind real diodes."""
    starts, drop = cut_in_speed(source, load), load.bridge
    return starts - knee_volts(drop) / source.peak_constant if isinstance(drop, Diode) else starts


def _speeds(starts: float, fastest: float) -> list[float]:
    """Speeds at which load points are taken: from where output begins, closer together there."""
    if starts >= fastest:
        return [fastest * 0.5, fastest]
    minimum = max(starts, 1e-3 * fastest)
    return (minimum + (fastest - minimum) * np.linspace(0, 1, POINTS) ** 2).tolist()


def _step(source: TheveninSource, load: Load, points: dict[float, LoadPoint]) -> dict[float, LoadPoint]:
    """Points on both sides of the speed at which a converter goes over to all it can give, if it does."""
    speeds = sorted(points)
    after = next((index for index, speed in enumerate(speeds) if points[speed].full), 0)
    if after == 0:
        return {}
    low, high = speeds[after - 1], speeds[after]
    while high - low > STEP * high:
        middle = (low + high) / 2
        low, high = (low, middle) if steady_state(source, load, rpm_of(middle)).full else (middle, high)
    return {
        speed: steady_state(source, load, rpm_of(speed)) for speed in (low * 0.999, low, high, high * 1.001)
    }
