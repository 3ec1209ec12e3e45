"""Diodes that follow their own law: milliamperes, limits, leakage, and what is told of them."""

from dataclasses import replace
from math import log, pi

import numpy as np
import pytest
from layouts import lantern_layout

from optimizer.circuit.diodes import DIODES, SCHOTTKY, SILICON, Diode, knee_volts
from optimizer.circuit.loads import BridgeBattery, BridgeCapacitor, BridgeResistor, UsbConverter
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.electromagnetic_torque import cut_in_speed
from optimizer.loads.load_study import study_load
from optimizer.words.load_words import point_rows

RPM = 120.0
MACHINE = TheveninSource(
    name="slow", pole_pairs=8, orders=np.array([1.0, 3.0]), flux_constants=np.array([0.145, 0.005]), resistance=9.0,
    inductance=2e-3,
)  # fmt: skip
SHARP = Diode(name="sharp", saturation=1e-15, emission=0.02, ohms=1e-6)  # next to ideal


def test_drops_are_those_of_the_cards():
    """Recomputed from the cards: at 10 mA, 100 mA and 1 A."""
    assert [SILICON.drop_at(amps) for amps in (0.01, 0.1, 1.0)] == pytest.approx([0.663, 0.773, 0.912], abs=1e-3)
    assert [SCHOTTKY.drop_at(amps) for amps in (0.01, 0.1, 1.0)] == pytest.approx([0.205, 0.291, 0.419], abs=1e-3)
    assert DIODES["ideal"] == 0
    assert knee_volts(0.35) == 0.35
    with pytest.raises(ValueError, match="saturation must be above zero, was 0"):
        replace(SILICON, saturation=0.0)


@pytest.mark.parametrize("kind", [BridgeResistor, BridgeCapacitor])
def test_a_nearly_unloaded_winding_keeps_most_of_its_volts(kind: type):
    """A kilohm behind Schottky diodes at two turns a second: a third of a volt that a constant drop takes away."""
    more = {"farads": 1e-3} if kind is BridgeCapacitor else {}
    held = steady_state(MACHINE, kind(ohms=1e3, drop=0.35, **more), RPM).dc_volts
    found = steady_state(MACHINE, kind(ohms=1e3, drop=SCHOTTKY, **more), RPM).dc_volts
    assert 0.25 < found - held < 0.45
    # a constant drop of a milliampere or two comes near: a capacitor is charged by peaks of several
    near = steady_state(MACHINE, kind(ohms=1e3, drop=SCHOTTKY.drop_at(1.3e-3), **more), RPM).dc_volts
    assert near * 0.93 < found < near * 1.04


def test_a_sharp_diode_is_a_constant_drop():
    """Its drop moves by 9 mV over seven decades of current."""
    for load in (
        BridgeResistor(ohms=30.0, drop=SHARP),
        BridgeCapacitor(ohms=30.0, farads=1e-3, drop=SHARP),
        BridgeBattery(volts=1.0, ohms=0.2, drop=SHARP),
    ):
        sharp = steady_state(MACHINE, load, RPM)
        held = steady_state(MACHINE, replace(load, drop=SHARP.drop_at(0.02)), RPM)
        assert sharp.dc_amps == pytest.approx(held.dc_amps, rel=5e-3)
        assert sharp.diode_watts == pytest.approx(held.diode_watts, rel=0.05)


def test_leakage_leaves_two_thermal_volts_of_log_two():
    """Into next to nothing: v = |e| − 2 a ln 2 wherever |e| is far above a, whatever the saturation current."""
    source = TheveninSource(
        name="high", pole_pairs=4, orders=np.array([1.0]), flux_constants=np.array([1.0]), resistance=1.0,
        inductance=0.0,
    )  # fmt: skip
    speed = 20.0
    point = steady_state(source, BridgeResistor(ohms=1e9, drop=SCHOTTKY), speed * 30 / pi)
    lost = 2 * SCHOTTKY.slope * log(2)
    assert point.waves.load_volts.max() == pytest.approx(speed - lost, rel=1e-4)


def test_of_brushes_the_law_holds_at_one_current():
    direct = TheveninSource(
        name="brushes", pole_pairs=1, orders=np.array([0.0]), flux_constants=np.array([0.1]), resistance=2.0,
        inductance=0.0, kind="commutated",
    )  # fmt: skip
    point = steady_state(direct, BridgeResistor(ohms=100.0, drop=SILICON), 600.0)
    amps = point.dc_amps
    assert 0.1 * 600 * pi / 30 == pytest.approx(102 * amps + 2 * SILICON.drop_at(amps), rel=1e-6)
    assert point.shaft_watts == pytest.approx(0.1 * 600 * pi / 30 * amps, rel=1e-6)


def test_a_converter_finds_its_input_behind_diodes_of_either_kind():
    usb = UsbConverter(least_input=1.0, efficiency=0.8, drop=SCHOTTKY, most_watts=0.02)
    point = steady_state(MACHINE, usb, 200.0)
    assert point.full
    assert point.load_watts == pytest.approx(0.02, rel=1e-3)
    held = steady_state(MACHINE, BridgeBattery(volts=point.dc_volts, ohms=0.0, drop=SCHOTTKY), 200.0)
    assert held.dc_amps * held.dc_volts * 0.8 == pytest.approx(0.02, rel=1e-3)
    assert not steady_state(MACHINE, replace(usb, least_input=5.0), 200.0).starts


def test_a_battery_above_the_peak_gets_nothing_and_loses_nothing():
    point = steady_state(MACHINE, BridgeBattery(volts=6.0, ohms=0.1, drop=SCHOTTKY), RPM)
    assert (point.dc_amps, point.load_watts, point.starts) == (0.0, 0.0, False)


def test_many_volts_and_few():
    for volts in (1e-3, 0.1, 10.0, 1e3):
        source = replace(MACHINE, flux_constants=MACHINE.flux_constants * volts)
        for load in (
            BridgeResistor(ohms=1e3, drop=SILICON), BridgeCapacitor(ohms=1e3, farads=1e-3, drop=SCHOTTKY)
        ):  # fmt: skip
            point = steady_state(source, load, RPM)
            assert 0 <= point.dc_volts < source.peak_constant * RPM * pi / 30


def test_output_begins_at_a_milliampere_and_words_say_so():
    load = BridgeResistor(ohms=20.0, drop=SILICON)
    begins = cut_in_speed(MACHINE, load)
    assert begins * MACHINE.peak_constant == pytest.approx(2 * SILICON.drop_at(1e-3))
    study = study_load(lantern_layout("wedge"), load)
    rows = {name: f"{value} {remark}" for name, value, remark in point_rows(study)}
    each = quantity_of(rows["Lost in the diodes"])
    assert 0 < each - SILICON.drop_at(study.point.dc_amps) < 0.08  # the charge flows at more than the mean current
    assert "two diodes at a milliampere" in rows["Output begins"]


def quantity_of(words: str) -> float:
    """The volts in a remark such as "…, by their law: 0.6 V each at this current"."""
    return float(words.split("law: ")[1].split("\u00a0", maxsplit=1)[0])
