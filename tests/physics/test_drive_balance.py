"""Drive: where the work of the hand goes, closed forms of motion, and limits. No reference numbers."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from layouts import lantern_layout
from rigs import BARE, PUMP, SLICK, OhmicTorque, crank_rig, pump_rig
from scipy.integrate import solve_ivp

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.loads import BridgeBattery, BridgeCapacitor, BridgeResistor, Resistor, UsbConverter
from optimizer.circuit.thevenin import thevenin_of
from optimizer.loads.electromagnetic_torque import electromagnetic_torque
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.drivetrain import POWERS, NoTorque, Rotor, drivetrain_of, flow, rotor_of
from optimizer.rigs.hand_drive import drive, drive_against
from optimizer.rigs.mechanisms import Cord, Spin, lead_angle, turning_efficiency
from optimizer.rigs.motion import paced
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import Bearings, Flywheel, GearStage, Rig
from optimizer.words.drive_words import findings

STEP_UP = (
    GearStage(driver_teeth=100, driven_teeth=30, efficiency=0.95),
    GearStage(driver_teeth=40, driven_teeth=20),
)
CORD = Cord(drum_diameter=0.04, cord_diameter=0.002, stroke=0.6, return_force=4, free_travel_deg=30)
WHEEL = Flywheel(mass=2.5, outer_diameter=0.16)
RIGS = {
    "pump": pump_rig(
        mechanism=replace(PUMP, return_force=5, free_travel_deg=20), flywheel=WHEEL, bearings=Bearings()
    ),
    "pump that rests": pump_rig(operator=Operator(cadence_per_minute=70, work=8, rest=4), flywheel=WHEEL),
    "crank and gears": crank_rig(gears=STEP_UP, flywheel=None, bearings=Bearings(seal_torque=1e-3)),
    "crank that rests": crank_rig(
        cadence=70, gears=STEP_UP, operator=Operator(cadence_per_minute=70, work=9, rest=6)
    ),
    "cord, wheel between gears": pump_rig(
        mechanism=CORD, gears=STEP_UP, flywheel=replace(WHEEL, after_stage=1)
    ),
    "cord, wheel before gears": pump_rig(
        mechanism=CORD, gears=STEP_UP, flywheel=replace(WHEEL, after_stage=0)
    ),
    "spun by hand": pump_rig(mechanism=Spin(radius=0.055, stroke=0.15), flywheel=None, bearings=Bearings()),
    "hill": pump_rig(operator=Operator(cadence_per_minute=40, curve="hill", push_share=0.7)),
}
ROTOR = Rotor(inertia=2e-4, mass=0.3, radius=0.055)


@pytest.mark.parametrize("name", RIGS)
def test_work_of_the_hand_is_accounted_for(name: str):
    run = drive_against(OhmicTorque(), RIGS[name], ROTOR)
    assert run.energies.hand > (0.1 if name == "spun by hand" else 10)
    assert abs(run.energies.imbalance) * run.energies.hand < 1e-6  # J
    assert min(getattr(run.energies, power) for power in POWERS) > -1e-9


@pytest.mark.slow
@pytest.mark.parametrize(
    "load",
    [
        Resistor(ohms=20),
        BridgeResistor(ohms=20, drop=0.35),
        BridgeCapacitor(ohms=50, farads=1e-3, drop=0.8),
        BridgeBattery(volts=2.4, ohms=0.3, drop=0.35),
        UsbConverter(least_input=3.0, efficiency=0.85, drop=0.35, most_watts=1.0),
    ],
    ids=lambda load: type(load).__name__,
)
def test_balance_with_the_lantern_and_every_load(load: object):
    layout = lantern_layout(turns=60)
    faster = Operator(cadence_per_minute=66)
    rig = replace(RIGS["pump"], gears=STEP_UP[1:], operator=faster)  # more than twice as fast, for the volts
    run = drive(thevenin_of(layout), load, rig, rotor_of(layout), 30.0)
    assert abs(run.energies.imbalance) * run.energies.hand < 1e-6  # J
    assert run.energies.load > 1


def test_torque_times_speed_is_the_electrical_power_at_every_speed():
    source = thevenin_of(lantern_layout(turns=60))
    speeds = np.linspace(0, 150, 1001)
    for load in (
        BridgeCapacitor(ohms=50, farads=1e-3, drop=0.8),
        BridgeBattery(volts=3.6, ohms=0.3, drop=0.35),
    ):
        drivetrain = drivetrain_of(electromagnetic_torque(source, load, 1500), pump_rig(), BARE)
        at = flow(drivetrain, speeds, True)
        power = drivetrain.torque_law.at(speeds).torque * speeds
        assert at.load + at.copper + at.diodes + at.converter + at.eddy == pytest.approx(power, abs=1e-12)
        assert np.abs(at.converter).max() < 1e-9  # there is none: the others add up alone
        assert at.eddy == pytest.approx(source.eddy * speeds**2)
        stored = drivetrain.inertia * at.acceleration * speeds
        spent = at.spring + at.mechanism + at.gears + at.bearings + at.air + power
        assert at.hand == pytest.approx(spent + stored, abs=1e-9)


def test_eddy_currents_brake_the_hand_and_the_run_down():
    layout = lantern_layout(turns=60)
    rig, rotor = replace(RIGS["pump"], gears=STEP_UP[1:]), rotor_of(layout)
    source = replace(thevenin_of(layout), eddy=1e-4)
    load = BridgeResistor(ohms=20, drop=0.35)
    run = drive(source, load, rig, rotor, 30.0)
    bare = drive(replace(source, eddy=0.0), load, rig, rotor, 30.0)
    speed = rad_s_of(run.series.rpm)
    assert run.energies.eddy == pytest.approx(np.trapezoid(1e-4 * speed**2, run.series.time), rel=1e-3)
    assert abs(run.energies.imbalance) < 1e-3
    assert bare.energies.eddy == 0
    assert run.settled.hand_watts > bare.settled.hand_watts + 0.8  # 1.2 W of eddy currents at 108 rad/s
    # free of the load they still stop it
    assert run.coasts.unloaded < 0.8 * bare.coasts.unloaded
    assert any("strands of it wound in hand" in words for words in findings(run))
    assert not any("Eddy" in words for words in findings(bare))


def test_what_a_converter_loses_is_what_is_left_of_the_power():
    source = thevenin_of(lantern_layout(turns=60))
    usb = UsbConverter(least_input=3.0, efficiency=0.85, drop=0.35, most_watts=1.0)
    torque_law = electromagnetic_torque(source, usb, 2000)
    speeds = np.linspace(0, 200, 501)
    at = flow(drivetrain_of(torque_law, pump_rig(), BARE), speeds, True)
    assert at.converter == pytest.approx(at.load * (1 / usb.efficiency - 1), abs=1e-12)


@pytest.mark.parametrize("name", ["pump", "cord, wheel between gears"])
def test_strokes_against_an_ode_solver(name: str):
    """Ten strokes by scipy's solver, with its own events and no tables."""
    rig, torque_law = RIGS[name], OhmicTorque()
    drivetrain = paced(drivetrain_of(torque_law, rig, ROTOR))
    chain, operator = drivetrain.transmission, rig.operator

    def motion(pushing: bool):
        def law(_: float, state: Real) -> list[float]:
            speed = max(float(state[0]), 0.0)
            at = flow(drivetrain, np.array([speed]), pushing)
            return [float(at.acceleration[0]), float(at.hand_speed[0]), float(at.hand[0])]

        return law

    def used_up(_: float, state: Real) -> float:
        return state[1] - (chain.stroke - chain.free_travel)

    used_up.terminal = True
    exact = {"method": "LSODA", "rtol": 1e-9, "atol": 1e-10}
    time, speed, starts = 0.0, 0.0, []
    for _ in range(10):
        starts.append((time, speed))
        begin, taken_up = time, chain.free_travel / drivetrain.ceiling
        rest = solve_ivp(motion(False), (0, taken_up), [speed, 0, 0], **exact)
        push = solve_ivp(motion(True), (0, 60), [max(rest.y[0, -1], 0), 0, 0], events=used_up, **exact)
        time += taken_up + push.t[-1]
        work = push.y[2, -1] + chain.return_force * chain.free_travel
        back = max(
            time + (1 - operator.push_share) * operator.period,
            begin + operator.period,
            begin + work / operator.lasting_power,
        )
        speed = max(solve_ivp(motion(False), (0, back - time), [push.y[0, -1], 0, 0], **exact).y[0, -1], 0)
        time = back
    run = drive_against(torque_law, rig, ROTOR)
    ours = np.array([stroke.start for stroke in run.strokes[:10]])
    assert ours == pytest.approx(np.array([begin for begin, _ in starts]), rel=1e-5)
    for begin, fast in starts:
        assert np.interp(begin, run.series.time, run.series.rpm) == pytest.approx(
            rpm_of(fast), rel=2e-3, abs=0.05
        )


def test_a_crank_against_an_ode_solver():
    """Spells of work and rest by scipy's solver, without tables: speeds, and the energy of the load."""
    rig, torque_law = RIGS["crank that rests"], OhmicTorque(constant=0.3)
    drivetrain = paced(drivetrain_of(torque_law, rig, ROTOR))
    run = drive_against(torque_law, rig, ROTOR)
    state, time = np.array([0.0, 0.0]), 0.0
    while time < run.seconds - 1e-9:
        for length, pushing in ((rig.operator.work, True), (rig.operator.rest, False)):

            def law(_: float, state: Real, pushing: bool = pushing) -> list[float]:
                at = flow(drivetrain, np.maximum(state[:1], 0.0), pushing)
                return [float(at.acceleration[0]), float(at.load[0])]

            state = solve_ivp(law, (0, length), state, method="LSODA", rtol=1e-10, atol=1e-12).y[:, -1]
            time += length
            rpm = np.interp(time, run.series.time, run.series.rpm)
            assert rpm == pytest.approx(rpm_of(state[0]), rel=1e-5, abs=1e-4)
    assert run.energies.load == pytest.approx(state[1], rel=1e-5)
    assert state[1] > 10


def test_huge_inertia_gains_speed_in_proportion_to_its_inverse():
    runs = [
        drive_against(NoTorque(), pump_rig(flywheel=Flywheel(inertia_given=inertia)), BARE)
        for inertia in (500.0, 1000.0)
    ]
    assert runs[0].coast_rpm / runs[1].coast_rpm == pytest.approx(2, rel=1e-2)
    assert runs[1].coast_rpm < 0.3


def test_a_flywheel_before_the_gears_counts_by_the_square_of_their_ratio():
    gears = (GearStage(driver_teeth=90, driven_teeth=30, efficiency=1.0),)
    before = pump_rig(gears=gears, flywheel=Flywheel(inertia_given=0.09, after_stage=0))
    after = pump_rig(gears=gears, flywheel=Flywheel(inertia_given=0.01))
    runs = [drive_against(OhmicTorque(), rig, BARE) for rig in (before, after)]
    assert runs[0].series.rpm == pytest.approx(runs[1].series.rpm, rel=1e-6, abs=1e-4)
    assert runs[0].inertia == pytest.approx(0.01)


def test_losses_of_a_steady_crank_are_those_of_its_gears():
    gears = (
        GearStage(driver_teeth=100, driven_teeth=30, efficiency=0.9),
        GearStage(driver_teeth=2, driven_teeth=1, efficiency=0.8),
    )
    for wheel in (Flywheel(inertia_given=0.001), Flywheel(inertia_given=0.001, after_stage=1)):
        drivetrain = paced(
            drivetrain_of(OhmicTorque(constant=0.2), crank_rig(gears=gears, flywheel=wheel), BARE)
        )
        run = drive_against(OhmicTorque(constant=0.2), crank_rig(gears=gears, flywheel=wheel), BARE, 60)
        steady = flow(drivetrain, np.array([rad_s_of(run.coast_rpm)]), True)
        assert steady.gears[0] / steady.hand[0] == pytest.approx(1 - 0.9 * 0.8, rel=1e-3)


def test_gears_lose_while_a_flywheel_ahead_of_them_drives():
    gears = (GearStage(driver_teeth=90, driven_teeth=30, efficiency=0.8),)
    rig = pump_rig(gears=gears, flywheel=Flywheel(inertia_given=0.09, after_stage=0))
    at = flow(drivetrain_of(OhmicTorque(), rig, BARE), np.array([50.0]), False)
    assert at.gears[0] == pytest.approx((at.load[0] + at.copper[0]) * 0.2 / 0.8)


def test_screw_takes_its_share():
    run = drive_against(OhmicTorque(), RIGS["pump"], ROTOR)
    efficiency = turning_efficiency(lead_angle(PUMP.lead, PUMP.contact_diameter), PUMP.friction_angle)
    pushed = run.energies.hand - run.energies.spring
    assert run.energies.mechanism / pushed == pytest.approx(1 - efficiency, rel=1e-9)
    strokes = run.energies.spring / (5 * 0.2)
    assert strokes == pytest.approx(len(run.strokes), abs=1.01)


def test_nothing_drives_on_the_way_back():
    run = drive_against(OhmicTorque(), pump_rig(), BARE, 20)
    stroke = run.strokes[-2]
    time, rpm, force = run.series.time, run.series.rpm, run.series.hand_force
    back = (time > stroke.start + stroke.push_seconds + 0.02) & (time < stroke.start + stroke.seconds - 0.02)
    assert back.sum() > 50
    assert not force[back].any()
    decay = np.exp(-(time[back] - time[back][0]) * OhmicTorque().slope / 0.008)
    assert rpm[back] == pytest.approx(rpm[back][0] * decay, rel=1e-6)


def test_without_a_load_the_hand_stores_all_it_gives_but_friction_of_the_bar():
    run = drive_against(NoTorque(), pump_rig(), BARE, 5)
    efficiency = turning_efficiency(lead_angle(PUMP.lead, PUMP.contact_diameter), PUMP.friction_angle)
    assert run.energies.stored == pytest.approx(efficiency * run.energies.hand, rel=1e-4)


@pytest.mark.parametrize(
    ("rig", "constant"), [(pump_rig(), 0.1), (crank_rig(), 1.0)], ids=["strokes", "crank"]
)
def test_the_hand_never_gives_more_than_it_can_keep_up(rig: Rig, constant: float):
    strong = OhmicTorque(constant=constant, inner=0.1, outer=2)
    for rest in (0.0, 10.0):
        operator = Operator(cadence_per_minute=90, lasting_power=10, work=10, rest=rest)
        run = drive_against(strong, replace(rig, operator=operator), BARE)
        assert run.settled.hand_watts < 10 * 1.02
        # with rests, strokes cannot make up for them: the force is at its limit
        assert run.settled.hand_watts > (9.8 if rest == 0 else 7.5)


def test_a_longer_run_begins_alike():
    runs = [drive_against(OhmicTorque(), pump_rig(), BARE, seconds) for seconds in (30.0, 60.0)]
    first, second = (_early(run) for run in runs)
    for a, b in zip(first, second, strict=True):
        assert a.start == pytest.approx(b.start, rel=1e-5, abs=1e-6)
        assert a.hand_joules == pytest.approx(b.hand_joules, rel=1e-3)


def _early(run: DriveRun):
    starts = [stroke.start for stroke in run.strokes]
    assert all(a < b for a, b in pairwise(starts))
    return run.strokes[:10]


def test_free_travel_costs_travel():
    slow = pump_rig(flywheel=Flywheel(inertia_given=0.05))  # the hand does not come near its beat at once
    lost = replace(slow, mechanism=replace(PUMP, free_travel_deg=720))  # two of the four turns of a stroke
    whole, cut = (drive_against(NoTorque(), rig, BARE, 3) for rig in (slow, lost))
    # the same force along half the way
    assert cut.strokes[0].hand_joules == pytest.approx(whole.strokes[0].hand_joules / 2, rel=0.05)


def test_bearings_and_seals_take_torque_times_angle():
    rig = pump_rig(bearings=Bearings(kind="deep-groove", bore=0.01, load=50, seal_torque=2e-3))
    run = drive_against(NoTorque(), rig, BARE, 30)
    torque = 0.5 * 0.0015 * 50 * 0.01 + 2e-3
    angle = np.trapezoid(rad_s_of(run.series.rpm), run.series.time)
    assert run.energies.bearings == pytest.approx(torque * angle, rel=1e-4)
    assert SLICK.kind == "none"
