"""A rig's run: what the hand gives, where it goes, and what comes out, from rest through some minutes to standstill.

How much may a converter draw? While the source gives a converter all that it draws, its input stands high and little
current flows. Asked for more, the input sinks to the least that the converter takes: the current grows, the copper
takes the power and, with a hand, its torque holds the rotor down. Which of both comes about below the cliff depends on
the speed at which it is plugged in.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import LimitedLoad, steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.evaluation.retention import retention
from optimizer.loads.electromagnetic_torque import cut_in_speed, electromagnetic_torque, full_draw_torque
from optimizer.loads.hazards import heat_hazards, load_hazards
from optimizer.loads.load_curves import Draw, load_curve, steady_draw
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
from optimizer.rigs.motion import Laws, in_full_swing, laws_of, paced, split, sums_of, track
from optimizer.rigs.rig import UNCERTAINTY, Rig

PERIODS, LEAST_SECONDS = 24, 10.0  # of a run that tells whether a draw is held
SPEEDS = 9  # at which the most that the winding gives is worked out
FINE = 1.05  # how near the cliff is approached, a ratio
SURE = 1.01  # times the speed at which a draw is only just given
ALL = 0.99  # of a draw that must come about for it to be held
SECONDS = 60.0


def best_draw(source: TheveninSource, load: Load, rig: Rig, rotor: Rotor) -> Draw | None:
    """On a rig that turns, of a hand in full swing. None of another load, or where nothing comes of it."""
    if load.limited is None:
        return None
    trial = _trial(source, load.limited, rig, rotor)
    return _search(trial) if trial else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trial:
    """What a draw is tried on. speeds, roots: of the rotor, rpm, and the root of the most W that the winding then gives
    the converter without its input sinking."""

    source: TheveninSource
    load: LimitedLoad
    rig: Rig
    rotor: Rotor
    speeds: Real
    roots: Real

    @property
    def maximum(self) -> float:
        """W at the fastest."""
        return float(self.roots[-1]) ** 2

    def beyond(self) -> float:
        """W with the input sunk to the least that the converter takes."""
        load = self.load
        sink = load.variant(load.least_input)
        return load.efficiency * self.brought(electromagnetic_torque(self.source, sink, self._fastest))[0]

    def hold(self, watts: float) -> Draw | None:
        """The draw of so many W if it is held; its cliff is not known yet."""
        load, rpm = self.load.drawing(watts), self.held_from(watts)
        if rpm is None:
            return None
        brought, hand = self.brought(full_draw_torque(self.source, load, rpm, self._fastest))
        if brought <= ALL * watts:
            return None
        return Draw(load=self.load, watts=watts, plug_rpm=rpm, cliff=None, beyond=0.0, hand=hand)

    def held_from(self, watts: float) -> float | None:
        """Speed in rpm above which the winding gives so many W; None where the hand does not reach it."""
        root: float = watts**0.5
        rpm = SURE * float(np.interp(root, self.roots, self.speeds))
        return rpm if rpm < self.speeds[-1] else None

    def brought(self, torque_law: TorqueLaw) -> tuple[float, float]:
        """Mean W of the load and of the hand, in full swing from the cadence on."""
        drivetrain = paced(in_full_swing(drivetrain_of(torque_law, self.rig, self.rotor)))
        laws = laws_of(drivetrain)
        seconds = max(PERIODS * self.rig.operator.period, LEAST_SECONDS)
        path = track(drivetrain, laws, seconds, drivetrain.asked_speed)
        starts = [start for start in path.stroke_starts if start > seconds / 2]
        begin, end = (starts[0], starts[-1]) if len(starts) > 1 else (seconds / 2, seconds)
        part = sums_of(drivetrain, laws, split(laws, path.steps, begin)).between(begin, end)
        load, hand = (float(part.powers[name].sum()) / (end - begin) for name in ("load", "hand"))
        return load, hand

    @property
    def _fastest(self) -> float:
        return 1.05 * float(self.speeds[-1])


def _trial(source: TheveninSource, load: LimitedLoad, rig: Rig, rotor: Rotor) -> _Trial | None:
    starts, top = rpm_of(cut_in_speed(source, load)), rpm_of(top_speed(rig))
    if starts >= top:
        return None
    speeds = np.linspace(starts, top, SPEEDS)
    curves = [load_curve(source, load, rpm) for rpm in speeds[1:].tolist()]
    drawn = [
        steady_draw(source, load, curve, rpm) for curve, rpm in zip(curves, speeds[1:].tolist(), strict=True)
    ]
    roots = np.array([0.0, *(draw.watts**0.5 if draw else 0.0 for draw in drawn)])
    return _Trial(source=source, load=load, rig=rig, rotor=rotor, speeds=speeds, roots=roots)


def _search(trial: _Trial) -> Draw | None:
    """Only a draw above what comes of an exorbitant one can be the best; between it and the winding's own most lies the
    cliff, which is halved into."""
    beyond = trial.beyond()
    low, high = max(FINE * beyond, trial.maximum / 100), trial.maximum
    held = trial.hold(low) if low < high else None
    if held is None:
        started = float(trial.speeds[0])
        bare = Draw(load=trial.load, watts=beyond, plug_rpm=started, cliff=None, beyond=beyond)
        return bare if beyond > 0 else None
    while high > FINE * low:
        middle = (low * high) ** 0.5
        tried = trial.hold(middle)
        held, low, high = (held, low, middle) if tried is None else (tried, middle, high)
    return replace(held, cliff=high, beyond=beyond, set_rpm=trial.held_from(trial.load.most_watts))


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
