"""A rig's run: what the hand gives, where it goes, and what comes out, from rest through some minutes to standstill."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.cut_in import cut_in_speed
from optimizer.loads.electromagnetic_torque import electromagnetic_torque
from optimizer.loads.hazards import load_hazards
from optimizer.rigs.displayed_voltage import DisplayedVoltage
from optimizer.rigs.drive_run import LONGEST_COAST, Coasts, DriveRun, last_fastest, run_of
from optimizer.rigs.drivetrain import Drivetrain, TorqueLaw, drivetrain_of, flow, rubbed, top_speed
from optimizer.rigs.law_of_motion import MotionLaw
from optimizer.rigs.motion import Laws, laws_of, track
from optimizer.rigs.pace import paced
from optimizer.rigs.rig import UNCERTAINTY, Rig
from optimizer.rigs.rotor import SMALL_ARMATURE, Rotor

SECONDS = 60.0
LEAST_SPEED = 1e-12  # rad/s


class CannotTurn(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """A rig that cannot turn its generator; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoTorque:
    """A generator that asks nothing of the shaft."""

    def torque(self, speed: Real) -> Real:
        """Zero."""
        return np.zeros_like(speed)

    load_watts = copper_watts = diode_watts = eddy_watts = dc_volts = dc_amps = torque


@dataclass(frozen=True, slots=True, kw_only=True)
class Unloaded(NoTorque):
    """A generator with nothing joined to it: what `torque_law` loses in eddy currents still brakes it."""

    torque_law: TorqueLaw

    def torque(self, speed: Real) -> Real:
        """N·m."""
        return self.torque_law.eddy_watts(speed) / np.maximum(speed, LEAST_SPEED)

    def eddy_watts(self, speed: Real) -> Real:
        """W."""
        return self.torque_law.eddy_watts(speed)


def drive(
    source: TheveninSource, load: Load, rig: Rig, rotor: Rotor = SMALL_ARMATURE, seconds: float = SECONDS
) -> DriveRun:
    """The run of a rig that turns `rotor`, whose winding is `source`, into `load`. Raises HopelessRig."""
    torque_law = electromagnetic_torque(source, load, 1.05 * rpm_of(top_speed(rig)))
    gauge = DisplayedVoltage(source=source, load=load, torque_law=torque_law)
    run = drive_against(gauge, rig, rotor, seconds)
    free_rpm = max(run.turning.rpm, run.asked_rpm)  # without its load the hand keeps its beat at least
    return replace(
        run,
        source=source,
        load=load,
        details=load.details(source, steady_state(source, load, run.settled.rpm)),
        cut_in_rpm=rpm_of(cut_in_speed(source, load)),
        open_peak=source.peak_constant * rad_s_of(run.turning.rpm),
        load_hazards=tuple(
            load_hazards(
                load,
                source.peak_constant * rad_s_of(free_rpm),
                free_rpm,
                float(torque_law.dc_volts(rad_s_of(run.series.rpm)).max()),
                float(torque_law.dc_amps(rad_s_of(run.series.rpm)).max()),
            )
        ),
    )


def drive_against(torque_law: TorqueLaw, rig: Rig, rotor: Rotor, seconds: float = SECONDS) -> DriveRun:
    """The run of a rig against any drag. Raises HopelessRig."""
    drivetrain = drivetrain_of(torque_law, rig, rotor)
    _require_hope(drivetrain)
    laws = laws_of(drivetrain)
    _require_start(drivetrain, laws)
    drivetrain = paced(drivetrain)
    laws = laws_of(drivetrain)
    path = track(drivetrain, laws, seconds)
    coasts = _coasts(drivetrain, laws, last_fastest(laws, path))
    return run_of(drivetrain, laws, rig, path, coasts)


def _coasts(drivetrain: Drivetrain, laws: Laws, fastest: float) -> Coasts:
    """From `fastest` (rad/s), the hand off: as it is, unloaded, and both ends of what bearings may make of it."""
    free = replace(drivetrain, torque_law=Unloaded(torque_law=drivetrain.torque_law))

    def coasted(turning: Drivetrain) -> float | None:
        law = MotionLaw(laws.speeds, flow(turning, laws.speeds, False).acceleration)
        seconds = law.seconds_to(fastest, 0.0)
        return seconds if seconds <= LONGEST_COAST else None

    return Coasts(
        loaded=coasted(drivetrain),
        unloaded=coasted(free),
        shortest=coasted(rubbed(drivetrain, UNCERTAINTY)),
        longest=coasted(rubbed(free, 1 / UNCERTAINTY)),
    )


def _require_hope(drivetrain: Drivetrain) -> None:
    chain, operator = drivetrain.transmission, drivetrain.operator
    if chain.locked:
        raise CannotTurn(f"mechanism: {chain.locked}")
    if not drivetrain.inertia > 0:
        raise CannotTurn("flywheel: nothing that turns has any inertia; give a flywheel")
    if chain.return_force >= operator.force:
        raise CannotTurn(
            f"mover.force_N: the hand is too weak: it pushes with {operator.force:.3g} N and the return spring takes "
            f"{chain.return_force:.3g} N of it"
        )


def _require_start(drivetrain: Drivetrain, laws: Laws) -> None:
    if laws.pushing.acceleration[0] > 0:
        return
    chain, ratio = drivetrain.transmission, drivetrain.inner[0] * drivetrain.outer[0]
    efficiency = chain.efficiency * drivetrain.inner[1] * drivetrain.outer[1]
    rubbing = float(drivetrain.torque_law.torque(np.zeros(1))[0]) + drivetrain.rotor.rubbing
    rubbing += drivetrain.wheel.rubbing / (drivetrain.outer[0] * drivetrain.outer[1])
    needed = rubbing * ratio / (efficiency * chain.travel_per_radian) + chain.return_force
    raise CannotTurn(
        f"mover.force_N: the hand is too weak to start it: it pushes with {drivetrain.operator.force:.3g} N, and "
        f"bearings, seals and spring need {needed:.3g} N at the hand"
    )
