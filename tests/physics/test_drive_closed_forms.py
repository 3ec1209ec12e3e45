"""Runs whose course is known in closed form: coasting, spinning up, strokes at their beat."""

from math import exp, log, pi

import numpy as np
import pytest
from rigs import BARE, OhmicTorque, crank_rig, pump_rig

from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.rigs.drivetrain import NoTorque, drivetrain_of
from optimizer.rigs.hand_drive import drive_against
from optimizer.rigs.motion import laws_of
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import Bearings, Charge, Flywheel


def test_coasting_under_constant_drag():
    rig = pump_rig(bearings=Bearings(kind="none", seal_torque=0.01))
    drivetrain = drivetrain_of(NoTorque(), rig, BARE)
    assert laws_of(drivetrain).coast.seconds_to(50.0, 0.0) == pytest.approx(0.008 * 50 / 0.01, rel=1e-6)


def test_coasting_against_ohms_dies_away_exponentially():
    torque_law = OhmicTorque()
    drivetrain = drivetrain_of(torque_law, pump_rig(), BARE)
    seconds = 20.0
    end = float(laws_of(drivetrain).coast.after(50.0, seconds).end)
    assert end == pytest.approx(50 * exp(-seconds * torque_law.slope / 0.008), rel=1e-9)


def test_useful_coasting_time_by_its_logarithm():
    torque_law = OhmicTorque(constant=0.2)
    rig = crank_rig(cadence=100, charge=Charge(volts=1.0))
    run = drive_against(torque_law, rig, BARE)
    decay = 0.008 / torque_law.slope * log(run.settled.dc_volts / (1 - 1e-6))  # as near as counts as useful
    assert run.coast_useful_seconds == pytest.approx(decay, rel=1e-6)


def test_spin_up_by_a_hand_whose_force_falls_in_a_straight_line():
    # below the pace at which it eases off, and far below its lasting power: I dω/dt = F0 r (1 − ω r/v0)
    operator = Operator(cadence_per_minute=600, force=20, top_speed=5, lasting_power=1e3)
    run = drive_against(NoTorque(), crank_rig(arm=0.05, operator=operator), BARE, 1.0)
    time_constant = 0.008 * 5 / (20 * 0.05**2)
    expected = 5 / 0.05 * (1 - np.exp(-run.series.time / time_constant))
    unhindered = expected * 0.05 < 2 * pi * 0.05 * 10 / 1.1
    assert unhindered.sum() > 1000
    assert run.series.rpm[unhindered] == pytest.approx(rpm_of(expected[unhindered]), rel=1e-5, abs=1e-4)


def test_spin_up_under_constant_torque():
    # a hand of nearly boundless top speed pushes with the same force at all speeds: ω = T t/I
    operator = Operator(cadence_per_minute=600, force=10, top_speed=20, lasting_power=1e3)
    run = drive_against(
        NoTorque(), crank_rig(arm=0.001, operator=operator, flywheel=Flywheel(inertia_given=1.0)), BARE, 10.0
    )
    assert rad_s_of(run.coast_rpm) == pytest.approx(10 * 0.001 * 10 / 1.0, rel=1e-4)


def test_no_load_and_no_friction_end_at_the_beat():
    run = drive_against(NoTorque(), crank_rig(), BARE)
    assert run.coast_rpm == pytest.approx(run.top_rpm, rel=1e-3)
    assert run.top_rpm == pytest.approx(60, rel=1e-9)  # nothing brakes: the hand has nothing to lean on
    assert run.coasts.loaded is None


def test_pump_settles_at_the_speed_of_its_beat():
    run = drive_against(NoTorque(), pump_rig(), BARE, 60)
    asked_hand_speed = 0.2 / 0.5 / 0.05 * 60  # metres a second over the lead, in rpm
    assert run.settled.rpm == pytest.approx(asked_hand_speed, rel=1e-6)


@pytest.mark.parametrize("constant", [0.1, 0.5, 1.0])
def test_a_crank_keeps_the_turns_asked_for_against_any_load_that_it_can_bear(constant: float):
    torque_law = OhmicTorque(constant=constant)
    run = drive_against(torque_law, crank_rig(), BARE)
    assert run.settled.cadence_per_minute == pytest.approx(60, rel=1e-4)  # as near as the pace is looked for
    assert run.settled.rpm == pytest.approx(60, rel=1e-4)
    assert run.settled.mean_force == pytest.approx(torque_law.slope * 2 * pi / 0.1, rel=1e-4)


@pytest.mark.parametrize("constant", [0.02, 0.05, 0.1])
def test_strokes_take_the_time_asked_for(constant: float):
    operator = Operator(cadence_per_minute=60, push_share=0.4, lasting_power=200)
    run = drive_against(OhmicTorque(constant=constant), pump_rig(operator=operator), BARE)
    assert run.strokes[-2].push_seconds == pytest.approx(0.4, rel=2e-4)
    assert run.settled.cadence_per_minute == pytest.approx(60, rel=1e-6)


def test_a_crank_with_too_much_to_turn_gives_all_that_lasts():
    # 45 W against torque slope · ω: ω² = 45/slope, below the beat
    torque_law = OhmicTorque(constant=1.87)
    run = drive_against(torque_law, crank_rig(arm=0.2, cadence=120), BARE)
    speed = (45 / torque_law.slope) ** 0.5
    assert run.settled.cadence_per_minute == pytest.approx(rpm_of(speed), rel=1e-4)
    assert run.settled.cadence_per_minute < 110
