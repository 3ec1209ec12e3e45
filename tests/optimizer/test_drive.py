"""A run: what is asked and answered, hopeless rigs, words, files, speed, and the command."""

import json
from dataclasses import replace
from math import inf, pi, sqrt
from pathlib import Path
from time import process_time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layouts import lantern_layout
from rigs import BARE, PUMP, OhmicTorque, crank_rig, pump_rig
from tiers import examples

from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    Led,
    Load,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.documents.study_document import run_document
from optimizer.loads.electromagnetic_torque import electromagnetic_torque
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.drivetrain import DisplayedVoltage, NoTorque, Rotor, rotor_of
from optimizer.rigs.hand_drive import CannotTurn, drive, drive_against
from optimizer.rigs.mechanisms import Cord, Crank, Spin
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import MATERIALS, Bearings, Charge, Flywheel, GearStage, Rig
from optimizer.words.drive_words import drive_cautions, findings, headline

STUDY = Path(__file__).parents[1] / "common_practice"


def said(run: DriveRun) -> str:
    return " ".join(findings(run)).replace("\u00a0", " ")


def hopeless(rig: Rig, torque_law: object = OhmicTorque(), rotor: Rotor = BARE) -> str:
    with pytest.raises(CannotTurn) as caught:
        drive_against(torque_law, rig, rotor, 10.0)
    return str(caught.value)


def tried(torque_law: object, rig: Rig, rotor: Rotor, seconds: float) -> DriveRun | str:
    """The run, or why there is none."""
    try:
        return drive_against(torque_law, rig, rotor, seconds)
    except CannotTurn as reason:
        return str(reason)


# what is asked


def test_charging_takes_energy_over_power():
    rig = pump_rig(charge=Charge(volts=1.0, energy_wh=2.0, efficiency=0.8))
    run = drive_against(OhmicTorque(constant=0.1), rig, BARE)
    assert run.useful_after is not None
    needed = 2 * 3600 / 0.8
    assert run.charge_seconds == pytest.approx(run.useful_after + needed / run.settled.load_watts)
    assert "Yes, it can charge 2.00 Wh: 2.50 Wh to be put in at" in said(run)


def test_milliampere_hours_count_at_the_volts_asked_for():
    assert Charge(volts=3.6, capacity_mah=500, efficiency=0.9).needed == pytest.approx(0.5 * 3.6 * 3600 / 0.9)
    assert Charge(volts=3.6).needed is None


def test_volts_out_of_reach_are_said_plainly():
    run = drive_against(OhmicTorque(constant=0.1), pump_rig(charge=Charge(volts=50, energy_wh=1)), BARE)
    assert run.charge_seconds is None
    assert run.useful_after is None
    # the hand eases off to nothing within a tenth above its beat, 480 rpm: 0.8 of 0.1 V·s/rad
    assert 480 < run.top_rpm < 528
    assert run.most_possible_volts == pytest.approx(0.8 * 0.1 * run.top_rpm * pi / 30)
    words = f"at this cadence the hand turns the rotor at {run.top_rpm:.0f} rpm at most, which gives 4.11 V"
    assert f"It never gives 50.0 V: {words}" in said(run)
    assert "No, it cannot charge 1.00 Wh" in said(run)


@pytest.mark.slow
def test_leds_charge_nothing_however_bright():
    source = thevenin_of(lantern_layout(turns=60))
    rig = pump_rig(charge=Charge(volts=3, energy_wh=1), gears=(GearStage(driver_teeth=60, driven_teeth=20),))
    run = drive(source, Led(forward_volts=3.0, dynamic_ohms=10.0, drop=0.35), rig, BARE, 20.0)
    assert run.useful_after is not None
    assert run.settled.load_watts > 0
    assert "No, it cannot charge 1.00 Wh: LEDs make light of all that they get and store none of it" in said(run)
    assert run_document(run)["can_charge"] is False
    assert "Yes, it can charge" in said(drive(source, BridgeBattery(volts=3.0, ohms=1.0, drop=0.35), rig, BARE, 20.0))


def test_a_wheel_too_heavy_for_the_time():
    run = drive_against(
        OhmicTorque(constant=0.1), pump_rig(flywheel=Flywheel(inertia_given=50), charge=Charge(volts=4)), BARE
    )
    assert "It does not give 4.00 V within 60 s" in said(run)


def test_a_weak_hand_gives_up_its_beat():
    rig = pump_rig(operator=Operator(cadence_per_minute=60, force=20))
    run = drive_against(OhmicTorque(constant=0.3), rig, BARE)
    assert run.settled.strokes_per_minute < 40
    reached = run.settled.cadence_per_minute
    words = f"at {reached:.1f} strokes a minute, not the 60.0 asked for"
    assert words in headline(run)
    assert f"The hand comes to {words[3:]}" in said(run)
    document = run_document(run)
    assert document["asked_per_minute"] == 60
    assert document["reached_per_minute"] == pytest.approx(reached)
    assert document["asked_rpm"] == pytest.approx(480)


def test_a_beat_that_is_kept_is_said():
    run = drive_against(OhmicTorque(constant=0.2), crank_rig(), BARE)
    assert "It settles at 60.0 rpm and" in said(run)
    assert "The hand keeps the 60.0 turns a minute asked for." in said(run)
    assert "asked for" not in headline(run)
    pumped = drive_against(OhmicTorque(constant=0.1), pump_rig(), BARE)
    assert "rpm in the mean (480 rpm while the hand drives at the cadence asked for)" in said(pumped)
    assert "The hand keeps the 60.0 strokes a minute asked for." in said(pumped)


def test_rests_are_left_out_of_the_cadence():
    rig = pump_rig(operator=Operator(cadence_per_minute=70, work=8, rest=4))
    assert drive_against(OhmicTorque(constant=0.05), rig, BARE).settled.cadence_per_minute == pytest.approx(
        70, rel=0.02
    )


def test_time_to_useful_volts_is_when_they_are_there():
    run = drive_against(OhmicTorque(constant=0.1), pump_rig(charge=Charge(volts=3)), BARE)
    at = np.interp(run.useful_after, run.series.time, run.series.dc_volts)
    assert at == pytest.approx(3, rel=0.01)
    assert (run.series.dc_volts[run.series.time < run.useful_after - 0.02] < 3).all()


def test_rests_are_kept():
    rig = crank_rig(
        operator=Operator(cadence_per_minute=60, work=5, rest=10), flywheel=Flywheel(inertia_given=0.05)
    )
    run = drive_against(OhmicTorque(constant=1.0), rig, BARE)
    assert [stroke.start for stroke in run.strokes] == pytest.approx([0, 15, 30, 45])
    assert [stroke.push_seconds for stroke in run.strokes] == pytest.approx([5] * 4)
    assert run.settled.end - run.settled.start == pytest.approx(15, abs=1e-6)


def test_feel_of_a_crank_is_the_torque_of_its_brake():
    gears = (GearStage(driver_teeth=100, driven_teeth=25, efficiency=1.0),)
    torque_law = OhmicTorque(constant=0.2)
    run = drive_against(torque_law, crank_rig(gears=gears), BARE)
    torque = torque_law.slope * run.settled.rpm * pi / 30 * 4  # on the crank
    assert run.settled.mean_force == pytest.approx(torque / 0.1, rel=1e-4)
    assert run_document(run)["hand_mean_torque_Nm"] == pytest.approx(torque, rel=1e-4)


# hopeless rigs


def test_locked_bar():
    assert "mechanism: the twisted bar locks itself" in hopeless(
        pump_rig(mechanism=replace(PUMP, lead=0.004))
    )


def test_clutch_that_never_engages():
    assert "the clutch never engages" in hopeless(pump_rig(mechanism=replace(PUMP, free_travel_deg=2000)))


def test_hand_weaker_than_the_spring():
    assert hopeless(pump_rig(mechanism=replace(PUMP, return_force=75))) == (
        "mover.force_N: the hand is too weak: it pushes with 75 N and the return spring takes 75 N of it"
    )


def test_hand_too_weak_for_the_bearings():
    rig = crank_rig(bearings=Bearings(kind="none", seal_torque=8.0))
    assert hopeless(rig) == (
        "mover.force_N: the hand is too weak to start it: it pushes with 75 N, and bearings, seals and spring "
        "need 80 N at the hand"
    )
    # a newton more than it needs, and it turns
    strong = replace(rig, operator=replace(rig.operator, force=81.0))
    assert drive_against(OhmicTorque(), strong, BARE, 10.0).coast_rpm > 0


def test_nothing_to_turn():
    assert "flywheel: nothing that turns has any inertia" in hopeless(pump_rig(flywheel=None))


@pytest.mark.slow
def test_far_too_light_ends_in_words_and_in_time():
    rig = pump_rig(
        mechanism=Spin(radius=0.05, stroke=0.001), operator=Operator(cadence_per_minute=600), flywheel=None
    )
    started = process_time()
    found = tried(NoTorque(), rig, Rotor(inertia=1e-13), 240.0)
    assert isinstance(found, DriveRun) or "too light" in found
    assert process_time() - started < 5


def test_zero_friction_never_stops_and_says_so():
    run = drive_against(NoTorque(), pump_rig(), BARE, 10)
    assert run.coasts.loaded is None
    assert "With the hand off it still turns after 60 min: next to nothing brakes it." in said(run)


def test_burst_ends_the_run():
    wheel = Flywheel(mass=20, outer_diameter=0.6, material="concrete")
    rig = crank_rig(cadence=120, gears=(GearStage(driver_teeth=100, driven_teeth=10),), flywheel=wheel)
    rig = replace(rig, operator=Operator(cadence_per_minute=120, force=300, lasting_power=500))
    run = drive_against(NoTorque(), rig, BARE, 600)
    row = MATERIALS["concrete"]
    burst = sqrt(row.strength / ((3 + row.poisson) / 4 * row.density * 0.3**2))
    assert run.burst_rpm == pytest.approx(burst * 30 / pi)
    assert run.burst
    assert run.seconds < 600
    assert run.coast_rpm == pytest.approx(run.burst_rpm, rel=0.02)
    assert "STOP" in said(run)
    assert "The flywheel may burst at 1050" in drive_cautions(run)[0].text.replace("\u00a0", " ")
    assert "the flywheel may burst; the run ends there" in said(run)


def test_the_time_since_it_stands_is_a_range():
    rig = pump_rig(bearings=Bearings(seal_torque=0.01))
    run = drive_against(OhmicTorque(), rig, BARE, 20)
    speed, load = run.coast_rpm * pi / 30, Bearings(load=0.0).rubbing
    assert load > 0.01  # as bought they are sealed
    minimum, maximum = run.coasts.shortest, run.coasts.longest
    assert maximum == pytest.approx(0.008 * speed / 0.005, rel=1e-3)  # unloaded, bearings that drag half as much
    slope = OhmicTorque().slope
    assert minimum == pytest.approx(0.008 / slope * np.log(1 + slope * speed / 0.02), rel=1e-3)
    assert minimum < run.coasts.loaded < run.coasts.unloaded < maximum
    stored = drive_cautions(run)[0].text.replace("\u00a0", " ")
    assert f"It goes on for {minimum:.2g} s to {maximum:.2g} s after the hand has stopped" in stored
    document = run_document(run)
    assert (document["coast_least_s"], document["coast_most_s"]) == pytest.approx((minimum, maximum))


@pytest.mark.slow
def test_a_rig_without_a_flywheel_is_not_told_to_key_one():
    run = drive_against(OhmicTorque(), pump_rig(flywheel=None), Rotor(inertia=1e-5, burst_speed=1000), 5)
    assert run.most_stored < 1
    stored = drive_cautions(run)[1]
    assert stored.title == "What turns stores little energy"
    assert "flywheel" not in stored.text
    assert "goes on for" not in stored.text
    assert "The carrier may burst at 9550" in stored.text


def test_a_load_that_never_starts_says_where_output_begins():
    run = replace(drive_against(NoTorque(), pump_rig(), BARE, 5), cut_in_rpm=3000.0)
    reached = run.series.rpm.max()
    assert "Nothing comes out: output begins at 3000 rpm" in said(run)
    assert f"more than {3000 / reached:.3g} times the gear" in said(run)
    assert "Nothing comes out" not in said(replace(run, cut_in_rpm=0.9 * reached))


def test_near_the_burst_speed_is_said():
    run = drive_against(OhmicTorque(), pump_rig(), Rotor(inertia=0, burst_speed=70), 10)
    assert not run.burst
    assert [hazard.kind for hazard in run.hazards] == ["overspeed"]


# volts shown


def displayed_voltage(source: TheveninSource, load: Load) -> DisplayedVoltage:
    return DisplayedVoltage(source=source, load=load, torque_law=electromagnetic_torque(source, load, 2000))


@pytest.mark.slow
def test_volts_shown_for_each_load():
    source = thevenin_of(lantern_layout(turns=60))
    speed = np.array([10.0, 150.0])
    open_ends = displayed_voltage(source, OpenCircuit())
    assert open_ends.at(speed).volts == pytest.approx(source.emf_constant * speed)
    resistor = displayed_voltage(source, Resistor(ohms=10)).at(speed)
    assert resistor.volts * resistor.amps == pytest.approx(resistor.watts)
    cell = BridgeBattery(volts=1.2, ohms=0.1, drop=0.35)
    charging = displayed_voltage(source, cell).at(speed).volts
    assert charging[0] == 0  # nothing flows: the cell's own volts are none of the machine's
    assert charging[1] > 1.2
    usb = UsbConverter(least_input=3.0, efficiency=0.85, drop=0.35, most_watts=0.1)
    assert displayed_voltage(source, usb).at(speed).volts == pytest.approx([0, 5])


# any rig that someone may build

size = st.floats(0.03, 0.3)
some_force = st.floats(0, 10)
beats = st.floats(20, 120)
wheel = st.floats(1e-4, 0.3).map(lambda inertia: Flywheel(inertia_given=inertia))
stages = st.lists(
    st.builds(
        GearStage,
        driver_teeth=st.integers(20, 120),
        driven_teeth=st.integers(12, 60),
        efficiency=st.floats(0.7, 1),
    ),
    max_size=3,
).map(tuple)
mechanism = (
    st.builds(Crank, arm=size)
    | st.builds(Spin, radius=size, stroke=st.floats(0.05, 0.5))
    | st.builds(Cord, drum_diameter=size, cord_diameter=st.just(0.002), stroke=size, return_force=some_force)
    | st.floats(0.03, 0.2).map(lambda lead: replace(PUMP, lead=lead, return_force=3, free_travel_deg=10))
)  # fmt: skip
hands = st.builds(
    Operator, cadence_per_minute=beats, force=st.floats(20, 200), lasting_power=st.floats(10, 200),
    push_share=st.floats(0.2, 0.8), rest=st.sampled_from([0.0, 0.0, 5.0]), work=st.floats(5, 30),
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=examples(30), deadline=None)
@given(mechanism, hands, stages, wheel, st.floats(0.01, 0.5), st.booleans())
def test_every_rig_that_may_be_built_balances(mechanism, operator, gears, wheel, constant, seals):
    bearings = Bearings(seal_torque=1e-3 if seals else 0.0)
    rig = Rig(title="Any", mechanism=mechanism, operator=operator, gears=gears, flywheel=wheel, bearings=bearings)
    run = tried(OhmicTorque(constant=constant), rig, Rotor(inertia=1e-4, mass=0.2, radius=0.05), 30.0)
    if isinstance(run, str):
        assert "too weak" in run
        return
    assert abs(run.energies.imbalance) < 1e-3
    assert run.settled.hand_watts < 1.2 * operator.lasting_power + 1
    assert 0 <= run.settled.least_rpm <= run.settled.rpm * (1 + 1e-9) <= run.settled.most_rpm * (1 + 1e-8)
    assert run.settled.most_rpm <= run.top_rpm * 1.001
    json.dumps(run_document(run), allow_nan=False)


def test_a_minute_takes_less_than_a_second():
    layout = lantern_layout(turns=60)
    source, rotor, rig = (
        thevenin_of(layout),
        rotor_of(layout),
        pump_rig(gears=(GearStage(driver_teeth=40, driven_teeth=20),)),
    )
    load = BridgeCapacitor(ohms=50, farads=1e-3, drop=0.35)
    drive(source, load, rig, rotor, 1.0)
    torque_law = electromagnetic_torque(source, load, 1500)
    started = process_time()
    drive_against(torque_law, rig, rotor, 60.0)
    assert process_time() - started < 1.0
    assert rotor.burst_speed < inf
