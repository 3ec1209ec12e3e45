"""A rig's run: what the hand gives, where it goes, and what comes out, from rest through some minutes to standstill."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.loads import Load
from optimizer.circuit.thevenin import Source
from optimizer.loads.cut_in import starting_speed
from optimizer.loads.electromagnetic_torque import electrical_drag
from optimizer.loads.hazards import load_hazards
from optimizer.rigs.drive_run import RPM, Coasts, DriveRun, last_fastest, run_of
from optimizer.rigs.drivetrain import Drag, Train, rubbed, top_speed, train_of
from optimizer.rigs.gauge import gauge_of
from optimizer.rigs.motion import Laws, TooStiff, coasting, laws_of, track
from optimizer.rigs.pace import paced
from optimizer.rigs.rig import UNCERTAINTY, Rig
from optimizer.rigs.rotor import SMALL_ARMATURE, Rotor

SECONDS = 60.0
LONGEST_COAST = 3600.0  # s
LEAST_SPEED = 1e-12  # rad/s


class HopelessRig(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """A rig that cannot turn its generator; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoDrag:
    """A generator that asks nothing of the shaft."""

    def torque(self, speed: Real) -> Real:
        """Zero."""
        return np.zeros_like(speed)

    load_watts = copper_watts = diode_watts = eddy_watts = dc_volts = dc_amps = torque


@dataclass(frozen=True, slots=True, kw_only=True)
class Unloaded(NoDrag):
    """A generator with nothing joined to it: what `drag` loses in eddy currents still brakes it."""

    drag: Drag

    def torque(self, speed: Real) -> Real:
        """N·m."""
        return self.drag.eddy_watts(speed) / np.maximum(speed, LEAST_SPEED)

    def eddy_watts(self, speed: Real) -> Real:
        """W."""
        return self.drag.eddy_watts(speed)


def drive(
    source: Source, load: Load, rig: Rig, rotor: Rotor = SMALL_ARMATURE, seconds: float = SECONDS
) -> DriveRun:
    """The run of a rig that turns `rotor`, whose winding is `source`, into `load`. Raises HopelessRig."""
    drag = electrical_drag(source, load, 1.05 * top_speed(rig) * RPM)
    gauge = gauge_of(source, load, drag)
    run = drive_against(gauge, rig, rotor, seconds)
    free_rpm = max(run.turning.rpm, run.asked_rpm)  # without its load the hand keeps its beat at least
    return replace(
        run,
        volts_meaning=gauge.meaning,
        starts_rpm=starting_speed(source, load) * RPM,
        open_peak=source.peak_constant * run.turning.rpm / RPM,
        load_hazards=tuple(
            load_hazards(
                load,
                source.peak_constant * free_rpm / RPM,
                free_rpm,
                float(drag.dc_volts(run.series.rpm / RPM).max()),
            )
        ),
    )


def drive_against(drag: Drag, rig: Rig, rotor: Rotor, seconds: float = SECONDS) -> DriveRun:
    """The run of a rig against any drag. Raises HopelessRig."""
    train = train_of(drag, rig, rotor)
    _require_hope(train)
    laws = laws_of(train)
    _require_start(train, laws)
    try:
        train = paced(train)
        laws = laws_of(train)
        path = track(train, laws, seconds)
        fastest = last_fastest(path)
        coasts = _coasts(train, laws, fastest)
    except TooStiff:
        raise HopelessRig(_stiff_words(train)) from None
    return run_of(train, laws, rig, path, coasts)


def _coasts(train: Train, laws: Laws, fastest: float) -> Coasts:
    """From `fastest` (rad/s), the hand off: as it is, unloaded, and both ends of what bearings may make of it."""
    free = replace(train, drag=Unloaded(drag=train.drag))
    slow, quick = rubbed(train, UNCERTAINTY), rubbed(free, 1 / UNCERTAINTY)
    return Coasts(
        loaded=coasting(train, laws, fastest, LONGEST_COAST),
        unloaded=coasting(free, laws_of(free), fastest, LONGEST_COAST),
        shortest=coasting(slow, laws_of(slow), fastest, LONGEST_COAST),
        longest=coasting(quick, laws_of(quick), fastest, LONGEST_COAST),
    )


def _require_hope(train: Train) -> None:
    chain, mover = train.transmission, train.mover
    if chain.locked:
        raise HopelessRig(f"mechanism: {chain.locked}")
    if not train.inertia > 0:
        raise HopelessRig("flywheel: nothing that turns has any inertia; give a flywheel")
    if chain.return_force >= mover.force:
        raise HopelessRig(
            f"mover.force_N: the hand is too weak: it pushes with {mover.force:.3g} N and the return spring takes "
            f"{chain.return_force:.3g} N of it"
        )


def _require_start(train: Train, laws: Laws) -> None:
    if laws.push(0.0) > 0:
        return
    chain, ratio = train.transmission, train.inner[0] * train.outer[0]
    efficiency = chain.efficiency * train.inner[1] * train.outer[1]
    rubbing = float(train.drag.torque(np.zeros(1))[0]) + train.rotor.rubbing
    rubbing += train.wheel.rubbing / (train.outer[0] * train.outer[1])
    needed = rubbing * ratio / (efficiency * chain.travel_per_radian) + chain.return_force
    raise HopelessRig(
        f"mover.force_N: the hand is too weak to start it: it pushes with {train.mover.force:.3g} N, and bearings, "
        f"seals and spring need {needed:.3g} N at the hand"
    )


def _stiff_words(train: Train) -> str:
    return (
        f"flywheel: what turns is too light for its brakes to be followed in time (inertia {train.inertia:.2g} kg m²); "
        "give a heavier flywheel or a weaker load"
    )
