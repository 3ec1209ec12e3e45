"""What a run comes to: energies, strokes, means once it has settled, times, and its series."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rpm_of
from optimizer.evaluation.retention import Retention
from optimizer.loads.draw import Draw
from optimizer.loads.hazards import Hazard, Turning
from optimizer.rigs.drivetrain import POWERS, Drivetrain
from optimizer.rigs.motion import Laws, Step, Track
from optimizer.rigs.nodes import Nodes, nodes_of
from optimizer.rigs.rig import Rig

SAMPLES = 4000  # of a run's series


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

    coast_range: the shortest and the longest of `Coasts`.
    useful_volts: what was asked for, or None. asked_rpm: of the rotor while the hand drives at the cadence asked for.
    top_rpm: the most that the hand could turn the rotor. cut_in_rpm: of the rotor, where output begins. burst_of: what
    bursts first. layout: of a rig that turns one.
    open_peak: V between two ends, nothing joined, at the run's fastest; zero of none known. load_hazards: what
    bites of load and copper. draw: that charges fastest, of a converter. held: the carrier's margins, of a layout's.
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
    coast_seconds: float | None
    coast_useful_seconds: float | None
    coast_free_seconds: float | None
    coast_range: tuple[float | None, float | None]
    inertia: float
    most_stored: float
    top_rpm: float
    most_possible_volts: float
    burst_rpm: float
    burst: bool
    travel_per_radian: float
    asked_rpm: float
    volts_meaning: str = ""
    cut_in_rpm: float = 0.0
    burst_of: str = "carrier"
    layout: Layout | None = None
    open_peak: float = 0.0
    load_hazards: tuple[Hazard, ...] = ()
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
        """A tidy table: the run in even time steps, one flat dictionary a step."""
        columns = [getattr(self.series, name).tolist() for name in COLUMNS.values()]
        steps = ([float(f"{value:.6g}") for value in step] for step in zip(*columns, strict=True))
        return [dict(zip(COLUMNS, step, strict=True)) for step in steps]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coasts:
    """Runs down with the hand off: with the load and without; with the load on bearings that drag twice as much as
    reckoned, and without it on bearings that drag half as much."""

    loaded: Sequence[Step]
    unloaded: Sequence[Step]
    shortest: Sequence[Step]
    longest: Sequence[Step]


def last_fastest(path: Track) -> float:
    """The highest speed in the last third of a run, rad/s."""
    end = path.steps[-1].start + path.steps[-1].length
    return max(max(step.speeds) for step in path.steps if step.start + step.length > end * 2 / 3)


def run_of(drivetrain: Drivetrain, laws: Laws, rig: Rig, path: Track, coasts: Coasts) -> DriveRun:
    """What a run comes to. coasts: from its end."""
    nodes = nodes_of(drivetrain, laws, path.steps)
    seconds = path.steps[-1].start + path.steps[-1].length
    useful = rig.charge.volts if rig.charge else None
    settled = _settled(drivetrain, rig, path, nodes, seconds)
    after = None if useful is None else nodes.first_time(nodes.dc_volts >= useful * (1 - 1e-6))
    maximum = max(max(step.speeds) for step in path.steps)
    return DriveRun(
        rig=rig,
        seconds=seconds,
        energies=_energies(drivetrain, nodes, path),
        settled=settled,
        strokes=_strokes(nodes, path, seconds),
        series=_series(drivetrain, laws, path.steps, seconds),
        useful_volts=useful,
        useful_after=after,
        charge_seconds=_charge_seconds(rig, settled, after),
        coast_rpm=rpm_of(last_fastest(path)),
        coast_seconds=_coast_time(coasts.loaded),
        coast_useful_seconds=_useful_coast(drivetrain, laws, coasts.loaded, useful),
        coast_free_seconds=_coast_time(coasts.unloaded),
        coast_range=(_coast_time(coasts.shortest), _coast_time(coasts.longest)),
        inertia=drivetrain.inertia,
        asked_rpm=rpm_of(drivetrain.asked_speed),
        most_stored=drivetrain.inertia * maximum**2 / 2,
        top_rpm=rpm_of(drivetrain.top_speed),
        most_possible_volts=float(drivetrain.torque_law.dc_volts(np.array([drivetrain.top_speed]))[0]),
        burst_rpm=rpm_of(drivetrain.burst_speed),
        burst=path.burst,
        burst_of=_burst_of(drivetrain, rig),
        travel_per_radian=drivetrain.travel_per_radian * drivetrain.inner[0] * drivetrain.outer[0],
    )


def _burst_of(drivetrain: Drivetrain, rig: Rig) -> str:
    wheel = rig.flywheel
    return "flywheel" if wheel and wheel.burst_speed * drivetrain.outer[0] <= drivetrain.burst_speed else "carrier"


def _energies(drivetrain: Drivetrain, nodes: Nodes, path: Track) -> Energies:
    end = path.steps[-1].speeds[1]
    sums = {name: nodes.integral(nodes.powers[name]) for name in POWERS}
    return Energies(**sums, stored=drivetrain.inertia * end**2 / 2)


def _settled(drivetrain: Drivetrain, rig: Rig, path: Track, nodes: Nodes, seconds: float) -> Settled:
    start, end = _window(rig, path, seconds)
    part = nodes.between(start, end)
    length = max(end - start, 1e-12)
    strokes = sum(start - 1e-9 <= begin < end - 1e-9 for begin in path.stroke_starts)
    rate = 60 * strokes / length if drivetrain.transmission.stroke is not None else 0.0
    driving = part.driving
    useful = part.powers["load"] * (part.dc_volts >= (rig.charge.volts if rig.charge else 0.0) * (1 - 1e-6))
    push_time = part.integral(driving)
    force_sum = part.integral(part.hand_force * driving)
    return Settled(
        start=start, end=end,
        rpm=rpm_of(part.integral(part.speed) / length),
        least_rpm=rpm_of(float(part.speed.min())), most_rpm=rpm_of(float(part.speed.max())),
        dc_volts=part.integral(part.dc_volts) / length,
        least_volts=float(part.dc_volts.min()), most_volts=float(part.dc_volts.max()),
        dc_amps=part.integral(part.dc_amps) / length,
        load_watts=part.integral(part.powers["load"]) / length,
        useful_watts=part.integral(useful) / length,
        hand_watts=part.integral(part.powers["hand"]) / length,
        strokes_per_minute=rate,
        cadence_per_minute=_stroke_rate(rig, path, start, end) if rate else _turn_rate(drivetrain, part),
        peak_force=float((part.hand_force * driving).max()),
        mean_force=force_sum / push_time if push_time else 0.0,
    )  # fmt: skip


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


def _turn_rate(drivetrain: Drivetrain, part: Nodes) -> float:
    """Turns of the hand in a minute while it drives."""
    seconds = part.integral(part.driving)
    travel = part.integral(part.hand_speed * part.driving)
    return 60 * travel / (2 * pi * drivetrain.transmission.travel_per_radian * seconds) if seconds else 0.0


def _window(rig: Rig, path: Track, seconds: float) -> tuple[float, float]:
    """The last third of a run, between starts of strokes where there are two; with rests, whole spells of both."""
    cycle = rig.operator.work + rig.operator.rest if rig.operator.rest else 0.0
    third = max(seconds // (3 * cycle), 1) * cycle if cycle else seconds / 3
    wanted = max(seconds - third, 0.0)
    starts = [begin for begin in path.stroke_starts if begin >= wanted - 1e-9]
    if len(starts) > 1 and not cycle:
        return starts[0], starts[-1]
    edges = [step.start for step in path.steps]
    return min(edges, key=lambda edge: abs(edge - wanted)), seconds


def _strokes(nodes: Nodes, path: Track, seconds: float) -> tuple[Stroke, ...]:
    edges = [*path.stroke_starts, seconds]
    return tuple(_stroke(nodes.between(a, b), a, b) for a, b in pairwise(edges) if b > a)


def _stroke(part: Nodes, start: float, end: float) -> Stroke:
    driving = part.driving
    push = part.integral(driving)
    return Stroke(
        start=start,
        seconds=end - start,
        push_seconds=push,
        hand_joules=part.integral(part.powers["hand"]),
        load_joules=part.integral(part.powers["load"]),
        peak_force=float((part.hand_force * driving).max()),
        mean_force=part.integral(part.hand_force * driving) / push if push else 0.0,
    )


def _series(drivetrain: Drivetrain, laws: Laws, steps: Sequence[Step], seconds: float) -> Series:
    time = np.linspace(0, seconds, SAMPLES + 1)
    at = nodes_of(drivetrain, laws, steps, time)
    return Series(
        time=time, rpm=rpm_of(at.speed), dc_volts=at.dc_volts, dc_amps=at.dc_amps, load_watts=at.powers["load"],
        hand_force=at.hand_force, hand_speed=at.hand_speed,
    )  # fmt: skip


def _charge_seconds(rig: Rig, settled: Settled, after: float | None) -> float | None:
    needed = rig.charge.needed if rig.charge else None
    if needed is None or after is None or not settled.useful_watts > 0:
        return None
    return after + needed / settled.useful_watts


def _coast_time(steps: Sequence[Step]) -> float | None:
    """Time to standstill, None when it still turns after an hour."""
    if not steps:
        return 0.0
    return steps[-1].start + steps[-1].length if steps[-1].speeds[1] <= 0 else None


def _useful_coast(drivetrain: Drivetrain, laws: Laws, steps: Sequence[Step], useful: float | None) -> float | None:
    """How long the volts stay useful while it runs down; None when they never were."""
    if useful is None or not steps:
        return None
    nodes = nodes_of(drivetrain, laws, steps)
    held = nodes.dc_volts >= useful * (1 - 1e-6)
    if not held.flat[0]:
        return None
    return nodes.first_time(~held) or steps[-1].start + steps[-1].length
