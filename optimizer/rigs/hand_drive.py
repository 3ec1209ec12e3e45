"""A rig's run: what the hand gives, where it goes, and what comes out, from rest through some minutes to standstill."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.evaluation.retention import retention
from optimizer.loads.electromagnetic_torque import cut_in_speed, electromagnetic_torque
from optimizer.loads.hazards import heat_hazards, load_hazards
from optimizer.rigs.best_draw import best_draw
from optimizer.rigs.drive_run import LONGEST_COAST, Coasts, DriveRun, last_fastest, run_of
from optimizer.rigs.drivetrain import (
    SMALL_ARMATURE,
    DisplayedVoltage,
    Drivetrain,
    Rotor,
    TorqueLaw,
    Unloaded,
    drivetrain_of,
    flow,
    rotor_of,
    rubbed,
    top_speed,
)
from optimizer.rigs.law_of_motion import MotionLaw
from optimizer.rigs.motion import Laws, laws_of, paced, track
from optimizer.rigs.rig import UNCERTAINTY, Rig

SECONDS = 60.0


class CannotTurn(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """A rig that cannot turn its generator; the message says why."""


def drive(
    source: TheveninSource, load: Load, rig: Rig, rotor: Rotor = SMALL_ARMATURE, seconds: float = SECONDS
) -> DriveRun:
    """The run of a rig that turns `rotor`, whose winding is `source`, into `load`, for `seconds`. Raises CannotTurn."""
    torque_law = electromagnetic_torque(source, load, 1.05 * rpm_of(top_speed(rig)))
    displayed = DisplayedVoltage(source=source, load=load, torque_law=torque_law)
    run = drive_against(displayed, rig, rotor, seconds)
    direct = torque_law.at(rad_s_of(run.series.rpm))
    free_rpm = max(run.turning.rpm, run.asked_rpm)  # without its load the hand keeps its cadence at least
    return replace(
        run,
        source=source,
        load=load,
        charge_seconds=run.charge_seconds if load.STORES else None,
        details=load.details(source, steady_state(source, load, run.settled.rpm)),
        cut_in_rpm=rpm_of(cut_in_speed(source, load)),
        open_peak=source.peak_constant * rad_s_of(run.turning.rpm),
        load_hazards=tuple(
            load_hazards(
                load,
                source.peak_constant * rad_s_of(free_rpm),
                free_rpm,
                float(direct.volts.max()),
                float(direct.amps.max()),
            )
        ),
    )


def drive_layout(
    layout: Layout, load: Load, rig: Rig, seconds: float = SECONDS, machine: Evaluation | None = None
) -> DriveRun:
    """The run of a rig that turns the layout into `load`, and what bites in it. Raises CannotTurn.

    seconds: length of the run, s. machine: the layout's evaluation, where it is made already.
    """
    machine = machine or evaluation(layout)
    source, rotor = thevenin_of(layout, emf=machine.emf), rotor_of(layout)
    run = drive(source, load, rig, rotor, seconds)
    heat = heat_hazards(layout, run.energies.copper / run.seconds)  # as in such a run without end
    return replace(
        run,
        draw=best_draw(source, load, rig, rotor),
        figures=machine.figures,
        load_hazards=(*run.load_hazards, *heat),
        held=retention(layout),
    )


def drive_against(torque_law: TorqueLaw, rig: Rig, rotor: Rotor, seconds: float = SECONDS) -> DriveRun:
    """The run of a rig against any torque law for so many `seconds` (s). Raises CannotTurn."""
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
    rubbing = float(drivetrain.torque_law.at(np.zeros(1)).torque[0]) + drivetrain.rotor.rubbing
    rubbing += drivetrain.wheel.rubbing / (drivetrain.outer[0] * drivetrain.outer[1])
    needed = rubbing * ratio / (efficiency * chain.travel_per_radian) + chain.return_force
    raise CannotTurn(
        f"mover.force_N: the hand is too weak to start it: it pushes with {drivetrain.operator.force:.3g} N, and "
        f"bearings, seals and spring need {needed:.3g} N at the hand"
    )
