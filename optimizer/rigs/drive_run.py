"""What a run comes to: energies, strokes, means once it has settled, times, and its series."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import pi
from typing import Any

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.thevenin import TheveninSource
from optimizer.evaluation.chain import Figures
from optimizer.evaluation.retention import Retention
from optimizer.loads.hazards import Hazard, Turning
from optimizer.loads.load_curves import Draw
from optimizer.rigs.drivetrain import Drivetrain
from optimizer.rigs.motion import Doing, Laws, Step, Sums, Track, speeds_at, split, sums_of
from optimizer.rigs.rig import Rig

SAMPLES = 4000  # of a run's series
NEARLY = 1 - 1e-6  # of the volts asked for
LONGEST_COAST = 3600.0  # s


@dataclass(frozen=True, slots=True, kw_only=True)
class Energies:
    """Where the work of the hand went, J. stored: in what turns, at the end (the run starts at rest)."""

    hand: float
    spring: float
    mechanism: float
    gears: float
    bearings: float
    air: float
    load: float
    copper: float
    diodes: float
    converter: float
    eddy: float
    stored: float

    @property
    def imbalance(self) -> float:
        """Work of the hand less all that it went into, as a share of it."""
        spent = self.spring + self.mechanism + self.gears + self.bearings + self.air
        spent += self.load + self.copper + self.diodes + self.converter + self.eddy + self.stored
        return (self.hand - spent) / self.hand if self.hand else -spent


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One stroke to the start of the next. seconds: of both; push_seconds; hand and load energy, J; forces, N."""

    start: float
    seconds: float
    push_seconds: float
    hand_joules: float
    load_joules: float
    peak_force: float
    mean_force: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """Means over the last part of a run (whole strokes): from start to end, s. Forces: while the hand drives, N.

    cadence_per_minute: strokes, or turns of a crank, in a minute of work, rests left out.
    """

    start: float
    end: float
    rpm: float
    least_rpm: float
    most_rpm: float
    dc_volts: float
    least_volts: float
    most_volts: float
    dc_amps: float
    load_watts: float
    useful_watts: float
    hand_watts: float
    strokes_per_minute: float
    cadence_per_minute: float
    peak_force: float
    mean_force: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Coasts:
    """Times in s to standstill with the hand off, None where it still turns after an hour: with the load and without;
    with the load on bearings that rub twice as much as reckoned, and without it on bearings that rub half as much."""

    loaded: float | None
    unloaded: float | None
    shortest: float | None
    longest: float | None


COLUMNS = {
    "time_s": "time",
    "rotor_rpm": "rpm",
    "volts_V": "dc_volts",
    "amps_A": "dc_amps",
    "load_W": "load_watts",
    "hand_force_N": "hand_force",
    "hand_speed_m_per_s": "hand_speed",
}  # of a table of the run: name and unit, attribute of the series


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """The run in even time steps, all (N,): s, rpm of the rotor, V, A, W, N, m/s."""

    time: Real
    rpm: Real
    dc_volts: Real
    dc_amps: Real
    load_watts: Real
    hand_force: Real
    hand_speed: Real


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveRun:
    """A run. Times in s, None where it never comes to it; coasting is from `coast_rpm`, see `last_fastest`.

    useful_volts: what was asked for, or None. asked_rpm: of the rotor while the hand drives at the cadence asked for.
    top_rpm: the most that the hand could turn the rotor. cut_in_rpm: of the rotor, where output begins. burst_of: what
    bursts first. source, load: what
    was turned and what it fed, where known. figures: of the machine, where a rig turns one.
    open_peak: V between two ends, nothing joined, at the run's fastest; zero of none known. load_hazards: what
    bites of load and copper. details: what the kind of load alone has to say at
    the settled speed. draw: that charges fastest, of a converter. held: the carrier's margins, of a layout's.
    """

    rig: Rig
    seconds: float
    energies: Energies
    settled: Settled
    strokes: tuple[Stroke, ...]
    series: Series
    useful_volts: float | None
    useful_after: float | None
    charge_seconds: float | None
    coast_rpm: float
    coasts: Coasts
    coast_useful_seconds: float | None
    inertia: float
    most_stored: float
    top_rpm: float
    most_possible_volts: float
    burst_rpm: float
    burst: bool
    travel_per_radian: float
    asked_rpm: float
    source: TheveninSource | None = None
    load: Load | None = None
    cut_in_rpm: float = 0.0
    burst_of: str = "carrier"
    figures: Figures | None = None
    open_peak: float = 0.0
    load_hazards: tuple[Hazard, ...] = ()
    details: Mapping[str, Any] = field(default_factory=dict[str, Any])
    draw: Draw | None = None
    held: Retention | None = None

    @property
    def turning(self) -> Turning:
        """What turns, at the fastest that it came to."""
        rpm = self.burst_rpm if self.burst else float(self.series.rpm.max())
        fastest = max(self.top_rpm, rpm)
        return Turning(
            rpm=rpm, fastest=fastest, burst_rpm=self.burst_rpm, peak=self.open_peak, part=self.burst_of
        )

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites in it, the most urgent first."""
        return *self.turning.hazards, *self.load_hazards

    def rows(self) -> list[dict[str, float]]:
        """A tidy table: the run in even time steps, one flat dictionary a step, its keys with units."""
        columns = [getattr(self.series, name).tolist() for name in COLUMNS.values()]
        steps = ([float(f"{value:.6g}") for value in step] for step in zip(*columns, strict=True))
        return [dict(zip(COLUMNS, step, strict=True)) for step in steps]


def last_fastest(laws: Laws, path: Track) -> float:
    """The highest speed in the last third of a run, rad/s."""
    third = path.steps[-1].end * 2 / 3
    return max(max(step.speeds) for step in split(laws, path.steps, third) if step.end > third * (1 + 1e-9))


def run_of(drivetrain: Drivetrain, laws: Laws, rig: Rig, path: Track, coasts: Coasts) -> DriveRun:
    """What a run comes to. coasts: from its end."""
    seconds = path.steps[-1].end
    useful = rig.charge.volts if rig.charge else None
    window = _window(rig, path, seconds)
    sums = sums_of(drivetrain, laws, split(laws, path.steps, window[0]), (useful or 0.0) * NEARLY)
    settled = _settled(drivetrain, laws, rig, path, sums.between(*window), window)
    after = None if useful is None else _useful_after(laws, path, useful)
    fastest = last_fastest(laws, path)
    maximum = max(max(step.speeds) for step in path.steps)
    return DriveRun(
        rig=rig,
        seconds=seconds,
        energies=Energies(
            **{name: float(values.sum()) for name, values in sums.powers.items()},
            stored=drivetrain.inertia * path.steps[-1].speeds[1] ** 2 / 2,
        ),
        settled=settled,
        strokes=_strokes(sums, path, seconds),
        series=_series(drivetrain, laws, path.steps, seconds),
        useful_volts=useful,
        useful_after=after,
        charge_seconds=_charge_seconds(rig, settled, after),
        coast_rpm=rpm_of(fastest),
        coasts=coasts,
        coast_useful_seconds=_useful_coast(laws, fastest, useful, coasts),
        inertia=drivetrain.inertia,
        asked_rpm=rpm_of(drivetrain.asked_speed),
        most_stored=drivetrain.inertia * maximum**2 / 2,
        top_rpm=rpm_of(drivetrain.top_speed),
        most_possible_volts=float(drivetrain.torque_law.at(np.array([drivetrain.top_speed])).volts[0]),
        burst_rpm=rpm_of(drivetrain.burst_speed),
        burst=path.burst,
        burst_of=_burst_of(drivetrain, rig),
        travel_per_radian=drivetrain.travel_per_radian * drivetrain.inner[0] * drivetrain.outer[0],
    )


def _burst_of(drivetrain: Drivetrain, rig: Rig) -> str:
    wheel = rig.flywheel
    return (
        "flywheel"
        if wheel and wheel.burst_speed * drivetrain.outer[0] <= drivetrain.burst_speed
        else "carrier"
    )


def _settled(
    drivetrain: Drivetrain, laws: Laws, rig: Rig, path: Track, part: Sums, window: tuple[float, float]
) -> Settled:
    """Means over a window, from start to end (s); `part`: the sums of its steps."""
    start, end = window
    length = max(end - start, 1e-12)
    strokes = sum(start - 1e-9 <= begin < end - 1e-9 for begin in path.stroke_starts)
    rate = 60 * strokes / length if drivetrain.transmission.stroke is not None else 0.0
    least, most = float(part.speeds.min()), float(part.speeds.max())
    between = laws.off.volts[(laws.speeds > least) & (laws.speeds < most)]
    volts = [*np.interp([least, most], laws.speeds, laws.off.volts).tolist(), *between.tolist()]
    driving = float(part.driving.sum())
    turns = float(part.travel.sum()) / (2 * pi * drivetrain.transmission.travel_per_radian)
    turn_rate = 60 * turns / driving if driving else 0.0
    return Settled(
        start=start,
        end=end,
        rpm=rpm_of(float(part.angle.sum()) / length),
        least_rpm=rpm_of(least),
        most_rpm=rpm_of(most),
        dc_volts=float(part.volts.sum()) / length,
        least_volts=min(volts),
        most_volts=max(volts),
        dc_amps=float(part.amps.sum()) / length,
        load_watts=float(part.powers["load"].sum()) / length,
        useful_watts=float(part.useful.sum()) / length,
        hand_watts=float(part.powers["hand"].sum()) / length,
        strokes_per_minute=rate,
        cadence_per_minute=_stroke_rate(rig, path, start, end) if rate else turn_rate,
        peak_force=float(part.peak_force.max()),
        mean_force=float(part.force.sum()) / driving if driving else 0.0,
    )


def _stroke_rate(rig: Rig, path: Track, start: float, end: float) -> float:
    """Strokes in a minute from start to end (s), between those that no rest parts."""
    cycle = rig.operator.work + rig.operator.rest
    starts = [begin for begin in path.stroke_starts if start - 1e-9 <= begin <= end]
    lengths = [
        b - a
        for a, b in pairwise(starts)
        if not (rig.operator.rest and (b + 1e-9) // cycle > (a + 1e-9) // cycle)
    ]
    return 60 * len(lengths) / sum(lengths) if lengths else 60 * len(starts) / (end - start)


def _window(rig: Rig, path: Track, seconds: float) -> tuple[float, float]:
    """The last third of a run, between starts of strokes where there are two; with rests, whole spells of both."""
    cycle = rig.operator.work + rig.operator.rest if rig.operator.rest else 0.0
    third = max(seconds // (3 * cycle), 1) * cycle if cycle else seconds / 3
    wanted = max(seconds - third, 0.0)
    starts = [begin for begin in path.stroke_starts if begin >= wanted - 1e-9]
    if len(starts) > 1 and not cycle:
        return starts[0], starts[-1]
    return wanted, seconds


def _strokes(sums: Sums, path: Track, seconds: float) -> tuple[Stroke, ...]:
    edges = [*path.stroke_starts, seconds]
    return tuple(_stroke(sums.between(a, b), a, b) for a, b in pairwise(edges) if b > a)


def _stroke(part: Sums, start: float, end: float) -> Stroke:
    push = float(part.driving.sum())
    return Stroke(
        start=start,
        seconds=end - start,
        push_seconds=push,
        hand_joules=float(part.powers["hand"].sum()),
        load_joules=float(part.powers["load"].sum()),
        peak_force=float(part.peak_force.max()),
        mean_force=float(part.force.sum()) / push if push else 0.0,
    )


def _series(drivetrain: Drivetrain, laws: Laws, steps: Sequence[Step], seconds: float) -> Series:
    time = np.linspace(0, seconds, SAMPLES + 1)
    speed, doing = speeds_at(laws, steps, time)
    pushing, idling = doing == Doing.PUSH, doing == Doing.FREE_TRAVEL

    def at(values: Real) -> Real:
        return np.interp(speed, laws.speeds, values)

    spring = np.where(idling, drivetrain.transmission.return_force, 0.0)
    return Series(
        time=time,
        rpm=rpm_of(speed),
        dc_volts=at(laws.off.volts),
        dc_amps=at(laws.off.amps),
        load_watts=at(laws.off.load / laws.speeds) * speed,
        hand_force=np.where(pushing, at(laws.pushing.hand_force), spring),
        hand_speed=np.where(
            pushing, at(laws.pushing.hand_speed), np.where(idling, drivetrain.ceiling, 0.0)
        ),
    )


def _charge_seconds(rig: Rig, settled: Settled, after: float | None) -> float | None:
    needed = rig.charge.needed if rig.charge else None
    if needed is None or after is None or not settled.useful_watts > 0:
        return None
    return after + needed / settled.useful_watts


def _useful_after(laws: Laws, path: Track, useful: float) -> float | None:
    """When the volts are useful for the first time, s; None when they never are."""
    for step in path.steps:
        time = laws.law(step.doing).first_time(step.speeds, laws.off.volts, useful * NEARLY)
        if time is not None:
            return step.start + time
    return None


def _useful_coast(laws: Laws, fastest: float, useful: float | None, coasts: Coasts) -> float | None:
    """How long the volts stay useful while it runs down from `fastest` (rad/s); None when they never were."""
    if useful is None or float(np.interp(fastest, laws.speeds, laws.off.volts)) < useful * NEARLY:
        return None
    end = float(laws.coast.after(fastest, LONGEST_COAST).end)
    lost = laws.coast.first_time((fastest, end), -laws.off.volts, -useful * NEARLY)
    return lost or (LONGEST_COAST if coasts.loaded is None else coasts.loaded)
