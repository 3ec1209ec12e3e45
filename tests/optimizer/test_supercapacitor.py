"""How long a supercapacitor takes: closed forms, limits, and what is said of it."""

from math import log, pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from layouts import lantern_layout
from rigs import crank_rig

from geometry.machine.speed import rpm_of
from optimizer.circuit.diodes import SCHOTTKY, Drop
from optimizer.circuit.load_hazard import Stress
from optimizer.circuit.loads import Supercapacitor
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.loads.supercapacitor import Overcharge
from optimizer.circuit.rectified import rectified_flow
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.documents.study_document import run_document, study_document
from optimizer.loads.load_study import study_load
from optimizer.rigs.hand_drive import drive
from optimizer.terminal.printed_study import study_lines
from optimizer.words.drive_words import run_lines


def capacitor(to_volts: float, drop: Drop = 0.3, ohms: float = 0.5, from_volts: float = 1.0) -> Supercapacitor:
    return Supercapacitor(farads=2.0, from_volts=from_volts, to_volts=to_volts, ohms=ohms, drop=drop)


def steady_source(volts: float) -> TheveninSource:
    """A machine with a commutator, `volts` at 1 rad/s behind 4 Ω."""
    return TheveninSource(
        name="motor", pole_pairs=1, orders=np.array([0.0]), flux_constants=np.array([volts]),
        resistance=4.0, inductance=0.0, kind="commutated",
    )  # fmt: skip


def alternating(henries: float, volts: float = 20.0) -> TheveninSource:
    """A sine of `volts` at 1 rad/s behind 1 mΩ and `henries`."""
    return TheveninSource(
        name="coil", pole_pairs=1, orders=np.array([1.0]), flux_constants=np.array([volts]),
        resistance=1e-3, inductance=henries,
    )  # fmt: skip


@given(st.floats(2.0, 40.0), st.floats(0.05, 0.999))
def test_behind_a_stiff_direct_source_it_is_a_resistor_and_a_capacitor(volts: float, share: float):
    spare = volts - 0.6 - 1.0
    load = capacitor(1.0 + share * spare)
    assert load.seconds(steady_source(volts), 1.0) == pytest.approx(4.5 * 2.0 * log(1 / (1 - share)), rel=1e-9)


def test_where_reactance_alone_limits_the_current_it_charges_evenly():
    """Far below the EMF a sine pushes 2/π · E/X through a large reactance, whatever the volts."""
    load = capacitor(0.3, drop=0.0, ohms=0.0, from_volts=0.0)
    amps = 2 / pi * 20.0 / 5.0
    assert load.seconds(alternating(5.0), 1.0) == pytest.approx(2.0 * 0.3 / amps, rel=2e-3)


def test_eight_points_are_enough():
    """Against the trapezoid rule over many volts, up to where next to nothing drives the current."""
    source, speed = thevenin_of(lantern_layout("wedge")), 400 * pi / 30
    volts = source.peak_constant * speed - 0.2 - np.geomspace(1.5, 0.02, 400)
    amps = [rectified_flow(source, speed, 0.1, sink=each, ohms=0.3).mean_current for each in volts]
    load = capacitor(volts[-1], drop=0.1, ohms=0.3, from_volts=volts[0])
    assert load.seconds(source, speed) == pytest.approx(2.0 * np.trapezoid(1 / np.array(amps), volts), rel=1e-3)


@pytest.mark.parametrize("drop", [0.3, SCHOTTKY])
def test_below_the_speed_that_it_names_it_never_gets_there(drop: Drop):
    source, load = thevenin_of(lantern_layout("wedge")), capacitor(4.0, drop)
    needed = load.details(source, steady_state(source, load, 300.0))["charges_above_rpm"]
    slow, quick = (load.details(source, steady_state(source, load, share * needed)) for share in (0.98, 1.02))
    assert slow["charging_s"] is None
    assert 3.5 < slow["charged_to_V"] < 4.0
    assert quick["charging_s"] > 0
    assert quick["charged_to_V"] == 4.0
    assert quick["stored_J"] == pytest.approx(2.0 * (4.0**2 - 1.0**2) / 2)


def test_at_a_speed_too_slow_to_begin_it_stores_nothing():
    source, load = steady_source(1.0), capacitor(4.0)
    point = steady_state(source, load, rpm_of(1.2))
    assert not point.starts
    assert load.details(source, point)["stored_J"] == 0


def test_a_constant_current_brings_the_energy_stored_in_the_time():
    """The load point stands halfway up, where a constant current's power is the mean of the charge's."""
    load, source = capacitor(0.3, drop=0.0, ohms=0.0, from_volts=0.1), alternating(5.0)
    point = steady_state(source, load, rpm_of(1.0))
    details = load.details(source, point)
    assert point.load_watts * details["charging_s"] == pytest.approx(details["stored_J"], rel=2e-3)


def test_it_goes_on_beyond_its_volts_with_nothing_to_stop_it():
    load = capacitor(2.7)
    assert not [*load.hazards(Stress(peak=3.2, rpm=400.0))]
    assert [*load.hazards(Stress(peak=6.6, rpm=400.0))] == [Overcharge(wanted=2.7, reached=6.0, rpm=400.0)]


def test_volts_must_rise():
    with pytest.raises(ValueError, match="to_volts must be above from_volts"):
        capacitor(0.5)


@pytest.mark.slow
def test_a_study_says_how_long_or_how_far():
    slow, quick = (study_load(lantern_layout("wedge"), capacitor(2.0), speed_rpm=rpm) for rpm in (400, 800))
    assert "ends at 1.60\u00a0V" in "\n".join(study_lines(slow))
    assert study_document(slow)["point"]["charging_s"] is None
    assert "from 1.00 to 2.00\u00a0V at this speed" in "\n".join(study_lines(quick))
    assert study_document(quick)["point"]["charging_s"] == pytest.approx(quick.details["charging_s"], rel=1e-6)
    assert any("NOTHING STOPS THE CHARGE" in line for line in study_lines(quick))
    later = [row["charging_s"] for row in quick.rows() if row["charging_s"] is not None]
    assert later == sorted(later, reverse=True)


@pytest.mark.parametrize(
    ("start", "volts", "said"),
    [
        (0.05, 0.2, "Charging it from 0.0500\u00a0V to 0.200\u00a0V takes"),
        (0.05, 0.9, "It never comes to 0.900\u00a0V: at 60.0 rpm the charge ends at 0.3"),
        (0.5, 0.9, "It is not charged at all at 60.0 rpm: above 1"),
    ],
)
def test_a_run_says_how_long_or_how_far(start: float, volts: float, said: str):
    load = capacitor(volts, drop=0.0, from_volts=start)
    run = drive(thevenin_of(lantern_layout("wedge")), load, crank_rig(), seconds=10)
    assert said in "\n".join(run_lines(run))
    assert "stands halfway" in "\n".join(run_lines(run))
    assert run_document(run)["charged_to_V"] == pytest.approx(run.details["charged_to_V"], rel=1e-6)
