"""The rig file: its values in SI, defaults, exact inverse, and wrong rigs with every fault at once."""

# ruff: noqa: E501 - a fault is one line, however long

from dataclasses import replace
from pathlib import Path

import pytest
from any_loads import any_loads
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.files.reading import FileFaults
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeCapacitor
from optimizer.rigs.mechanisms import Cord, Crank, Pump, Spin
from optimizer.rigs.operator import CURVES, FORCE, LASTING_POWER, TOP_SPEED, Operator
from optimizer.rigs.rig import BEARINGS, MATERIALS, Bearings, Charge, Flywheel, GearStage, Rig
from optimizer.rigs.rig_file import read_rig, rig_from_text, rig_text

STUDY = Path(__file__).parents[1] / "common_practice" / "rig.toml"
LEAST = "[mechanism.crank]\narm_mm = 100\n[mover]\ncadence_per_minute = 60\n"


def told(written: str) -> list[str]:
    with pytest.raises(FileFaults) as caught:
        rig_from_text(written, "rig.toml")
    return str(caught.value).splitlines()


def test_the_study() -> None:
    assert read_rig(STUDY) == Rig(
        title="Market-stall lamp, pumped by hand",
        mechanism=Pump(
            lead=0.04,
            contact_diameter=0.012,
            stroke=0.25,
            friction_coefficient=0.15,
            return_force=2,
            free_travel_deg=20,
        ),
        operator=Operator(cadence_per_minute=80, push_share=0.5),
        flywheel=Flywheel(mass=2.5, shape="disc", outer_diameter=0.16, material="steel"),
        bearings=Bearings(kind="deep-groove", bore=0.01, seal_torque=0.004),
        charge=Charge(volts=5, capacity_mah=300),
        load=BridgeCapacitor(ohms=100, farads=1e-3, drop=DIODES["schottky"]),
    )


def test_the_least_and_its_defaults() -> None:
    rig = rig_from_text(LEAST, "rig.toml")
    assert rig == Rig(title="Untitled", mechanism=Crank(arm=0.1), operator=Operator(cadence_per_minute=60))
    assert (rig.operator.force, rig.operator.top_speed, rig.operator.lasting_power) == (
        FORCE,
        TOP_SPEED,
        LASTING_POWER,
    )
    assert rig.bearings == Bearings(kind="deep-groove", bore=0.008)


milli = st.floats(1e-4, 5, exclude_min=True)  # any number that a float can be, not only those a person writes
share = st.floats(0, 1, exclude_min=True)
some = st.floats(1, 250)
none_or = lambda values: st.none() | values  # noqa: E731 - reads better here
back = {"return_force": some, "free_travel_deg": some}
mechanisms = (
    st.builds(Crank, arm=milli)
    | st.builds(Spin, radius=milli, stroke=milli)
    | st.builds(Cord, drum_diameter=milli, cord_diameter=milli, stroke=milli, efficiency=share, **back)
    | st.builds(Pump, lead=milli, contact_diameter=milli, stroke=milli, friction_coefficient=share, **back)
    | st.builds(
        Pump, lead=milli, contact_diameter=milli, stroke=milli, friction_angle_deg=st.integers(0, 80), **back
    )
)
operators = st.builds(
    Operator,
    cadence_per_minute=st.integers(1, 600), force=some, top_speed=st.floats(0.01, 20),
    curve=st.sampled_from(CURVES), lasting_power=some, push_share=st.floats(0.05, 0.95),
    work=st.floats(1, 1000), rest=st.floats(0, 1000),
)  # fmt: skip
gears = st.builds(
    GearStage, driver_teeth=st.integers(1, 300), driven_teeth=st.integers(1, 300), efficiency=share
)
wheels = (
    st.builds(Flywheel, inertia_given=share, mass=none_or(share))
    | st.builds(Flywheel, mass=share, outer_diameter=milli, material=st.sampled_from(list(MATERIALS)))
    | milli.map(lambda d: Flywheel(mass=1.0, shape="ring", outer_diameter=2 * d, inner_diameter=d, after_stage=0)
    if 2 * d <= 5 else Flywheel(inertia_given=1.0, after_stage=0))
)  # fmt: skip
bearings = st.builds(
    Bearings,
    kind=st.sampled_from(list(BEARINGS)), bore=st.floats(1e-4, 0.5, exclude_min=True), load=none_or(some),
    seal_torque=share,
)  # fmt: skip
charges = st.builds(Charge, volts=some, energy_wh=none_or(some), efficiency=share) | st.builds(
    Charge, volts=some, capacity_mah=some
)


@settings(max_examples=examples(150), deadline=None)
@given(
    st.builds(
        Rig,
        title=st.just("Any"), mechanism=mechanisms, operator=operators, gears=st.lists(gears, max_size=3).map(tuple),
        flywheel=none_or(wheels), bearings=bearings, charge=none_or(charges), load=none_or(any_loads()),
    )
)  # fmt: skip
def test_reading_what_was_written_gives_the_equal_rig(rig: Rig) -> None:
    assert rig_from_text(rig_text(rig), "rig.toml") == rig


def test_a_rig_that_the_file_could_not_give_back() -> None:
    rig = rig_from_text(LEAST, "rig.toml")
    with pytest.raises(
        ValueError,
        match=r"mechanism.crank.arm_mm: must be at most 5000 \(are the units millimetres\?\), was 6000",
    ):
        rig_text(replace(rig, mechanism=Crank(arm=6.0)))


def test_every_fault_at_once() -> None:
    assert told(
        "[mechanism.crank]\narm_mm = 0\n[mover]\nforce_N = '75'\nrest_s = -1\n[[gears]]\ndriver_teeth = 3.5\n"
        "driven_teeth = 10\nefficiency = 97\n[flywheel]\nmass_kg = 3\n[bearings]\nkind = 'ball'\n[charge]\nvolts = 5\n"
        "energy_Wh = 2\ncapacity_mAh = 300\n"
    ) == [
        "rig.toml:2: mechanism.crank.arm_mm: must be at least 0.1, was 0",
        "rig.toml:3: mover.cadence_per_minute: must be given, was missing",
        'rig.toml:4: mover.force_N: must be a number, was "75" (leave out the quotes)',
        "rig.toml:5: mover.rest_s: must be at least 0, was -1",
        "rig.toml:7: gears[1].driver_teeth: must be a whole number of at least 1, was 3.5",
        "rig.toml:9: gears[1].efficiency: must be at most 1 (a share, not a percentage), was 97",
        "rig.toml:10: flywheel: outer_diameter_mm must be given with mass_kg, was missing",
        "rig.toml:13: bearings.kind: must be one of none, deep-groove, self-aligning, angular-contact, thrust-ball, "
        'cylindrical-thrust, was "ball"',
        "rig.toml:17: charge.capacity_mAh: must be left out when energy_Wh is given, was 300",
    ]


MOVER = "[mover]\ncadence_per_minute = 60\n"
WHEEL = LEAST + "[flywheel]\n"
PUMP = MOVER + "[mechanism.pump]\nlead_mm = 50\ncontact_diameter_mm = 12\nstroke_mm = 200\n"


@pytest.mark.parametrize(
    ("written", "fault"),
    [
        (MOVER + "[mechanism]\n", "rig.toml:3: mechanism: must hold exactly one of the tables crank, cord, pump and spin, was none of them"),
        (LEAST + "[mechanism.spin]\nradius_mm = 5\nstroke_mm = 9\n", "rig.toml:1: mechanism: must hold exactly one of the tables crank, cord, pump and spin, was crank and spin"),
        (PUMP, "rig.toml:3: mechanism.pump: friction_coefficient or friction_angle_deg must be given, was missing"),
        (PUMP + "friction_coefficient = 0.1\nfriction_angle_deg = 5\n", "rig.toml:8: mechanism.pump.friction_angle_deg: must be left out when friction_coefficient is given, was 5"),
        (WHEEL, "rig.toml:5: flywheel: inertia_kg_m2, or mass_kg and outer_diameter_mm, must be given, was missing"),
        (WHEEL + "mass_kg = 1\nouter_diameter_mm = 100\nshape = 'ring'\n", "rig.toml:5: flywheel: inner_diameter_mm must be given for a ring, was missing"),
        (WHEEL + "mass_kg = 1\nouter_diameter_mm = 100\nshape = 'ring'\ninner_diameter_mm = 100\n", "rig.toml:9: flywheel.inner_diameter_mm: must be less than outer_diameter_mm (100), was 100"),
        (WHEEL + "mass_kg = 1\nouter_diameter_mm = 100\ninner_diameter_mm = 50\n", "rig.toml:8: flywheel.inner_diameter_mm: must be left out for a disc, was 50"),
        (WHEEL + "inertia_kg_m2 = 1\nafter_stage = 2\n", "rig.toml:5: flywheel: must have an after_stage of 0 (there are no gears), was 2"),
        (LEAST + "gears = []\n", "rig.toml:5: mover.gears: unknown key here; it belongs in the top of the file, above every table"),
        (LEAST + "[load]\nkind = 'usb'\n", "rig.toml:5: load: least_input_V must be given for kind \"usb\", was missing"),
    ],
)  # fmt: skip
def test_faults(written: str, fault: str) -> None:
    assert fault in told(written)
