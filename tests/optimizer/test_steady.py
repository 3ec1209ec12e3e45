"""Loads at a steady speed: closed forms and extremes."""

from math import pi, sqrt

import numpy as np
import pytest

from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource

RPM = 750.0  # 50 Hz with four pole pairs
SPEED = RPM * pi / 30


def source(*, peak=10.0, ohms=5.0, henries=0.0, **changes):
    """A sine of `peak` volts at RPM."""
    values = {
        "name": "sine", "pole_pairs": 4, "orders": np.array([1.0]), "flux_constants": np.array([peak / SPEED]),
        "resistance": ohms, "inductance": henries,
    }  # fmt: skip
    return TheveninSource(**values | changes)


def direct(**changes):
    """A commutated source of 6 V at RPM behind 2 Ω."""
    values = {
        "orders": np.array([0.0]),
        "flux_constants": np.array([6 / SPEED]),
        "kind": "commutated",
        "ohms": 2.0,
    }
    return source(**values | changes)


def test_nothing_connected_takes_nothing():
    point = steady_state(source(), OpenCircuit(), RPM)
    assert (point.shaft_watts, point.current_rms, point.starts) == (0.0, 0.0, False)
    assert point.waves.terminal_volts == pytest.approx(point.waves.emf)


def test_resistor_behind_inductance():
    point = steady_state(source(henries=0.02), Resistor(ohms=15.0), RPM)
    impedance = abs(20 + 1j * 2 * pi * 50 * 0.02)
    assert point.current_rms == pytest.approx(10 / sqrt(2) / impedance, rel=1e-9)
    assert point.load_watts == pytest.approx((10 / sqrt(2) / impedance) ** 2 * 15, rel=1e-9)


def test_a_bridge_without_drop_is_a_resistor_to_the_source():
    harmonics = {"orders": np.array([1.0, 3.0, 7.0]), "flux_constants": np.array([0.1, 0.03, -0.01])}
    for henries in (0.0, 1e-3, 0.1):
        load = steady_state(source(henries=henries, **harmonics), Resistor(ohms=15.0), RPM).load_watts
        bridged = steady_state(source(henries=henries, **harmonics), BridgeResistor(ohms=15.0, drop=0.0), RPM)
        assert bridged.load_watts == pytest.approx(load, rel=1e-6)


def test_a_huge_capacitor_is_a_battery_and_a_tiny_one_is_none():
    large = steady_state(source(henries=2e-3), BridgeCapacitor(ohms=40.0, farads=1.0, drop=0.35), RPM)
    held = BridgeBattery(volts=large.dc_volts, ohms=0.0, drop=0.35)
    assert steady_state(source(henries=2e-3), held, RPM).dc_amps == pytest.approx(large.dc_amps, rel=1e-4)
    tiny = steady_state(source(henries=2e-3), BridgeCapacitor(ohms=40.0, farads=1e-10, drop=0.35), RPM)
    none = steady_state(source(henries=2e-3), BridgeResistor(ohms=40.0, drop=0.35), RPM)
    assert tiny.load_watts == pytest.approx(none.load_watts, rel=1e-4)


def test_a_lightly_loaded_capacitor_holds_the_peak_less_two_drops():
    point = steady_state(source(), BridgeCapacitor(ohms=1e7, farads=1e-4, drop=0.35), RPM)
    assert point.dc_volts == pytest.approx(10 - 0.7, rel=1e-4)


@pytest.mark.parametrize(
    "load", [BridgeBattery(volts=9.4, ohms=0.0, drop=0.35), BridgeResistor(ohms=5.0, drop=5.0)]
)
def test_no_conduction(load):
    point = steady_state(source(henries=0.01), load, RPM)
    assert (point.load_watts, point.dc_amps, point.starts, point.conducting_share) == (0.0, 0.0, False, 0.0)


def test_much_inductance_makes_the_current_flow_all_the_time():
    point = steady_state(source(henries=0.1), BridgeBattery(volts=2.0, ohms=0.0, drop=0.35), RPM)
    assert point.conducting_share == pytest.approx(1.0)
    assert np.abs(point.waves.terminal_volts).min() == pytest.approx(2.7, rel=1e-6)


def test_a_converter_takes_what_it_needs_and_no_more():
    usb = UsbConverter(least_input=4.0, efficiency=0.8, drop=0.35, most_watts=1.0)
    point = steady_state(source(), usb, RPM)
    assert point.full
    assert point.load_watts == pytest.approx(1.0, rel=1e-4)
    assert point.converter_watts == pytest.approx(0.25, rel=1e-4)
    assert 4.0 < point.dc_volts < 9.3


def test_a_converter_that_wants_too_much_sinks_to_its_least_input():
    usb = UsbConverter(least_input=4.0, efficiency=0.8, drop=0.35, most_watts=10.0)
    point = steady_state(source(), usb, RPM)
    held = steady_state(source(), BridgeBattery(volts=4.0, ohms=0.0, drop=0.35), RPM)
    assert not point.full
    assert point.dc_volts == 4.0
    assert point.load_watts == pytest.approx(0.8 * held.load_watts, rel=1e-9)


def test_a_converter_below_its_least_input_is_off():
    point = steady_state(source(), UsbConverter(least_input=9.5, efficiency=0.8, drop=0.35), RPM)
    assert not point.starts
    assert point.shaft_watts == 0


def test_a_commutated_source_obeys_ohm():
    assert steady_state(direct(), Resistor(ohms=4.0), RPM).load_watts == pytest.approx(4.0)
    point = steady_state(direct(), BridgeCapacitor(ohms=3.3, farads=1e-3, drop=0.35), RPM)
    assert point.dc_amps == pytest.approx(1.0)
    assert point.diode_watts == pytest.approx(0.7)
    charged = steady_state(direct(), BridgeBattery(volts=3.0, ohms=0.3, drop=0.35), RPM)
    assert charged.dc_amps == pytest.approx(1.0)
    assert charged.load_watts == pytest.approx(3.3)
    usb = steady_state(direct(), UsbConverter(least_input=2.0, efficiency=1.0, drop=0.0, most_watts=4.0), RPM)
    assert usb.dc_volts == pytest.approx(4.0, rel=1e-4)


def test_standstill_and_nonsense():
    assert steady_state(source(), BridgeResistor(ohms=1.0, drop=0.0), 0.0).shaft_watts == 0
    with pytest.raises(ValueError, match="speed_rpm must be at least zero, was -1"):
        steady_state(source(), OpenCircuit(), -1.0)


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (lambda: Resistor(ohms=0.0), "ohms must be above zero, was 0"),
        (lambda: BridgeCapacitor(ohms=1.0, farads=-1.0, drop=0.3), "farads must be above zero, was -1"),
        (lambda: BridgeBattery(volts=1.0, ohms=0.0, drop=-0.1), "drop must be at least zero, was -0.1"),
        (
            lambda: UsbConverter(least_input=4.0, efficiency=1.2, drop=0.3),
            "efficiency must be at most 1, was 1.2",
        ),
    ],
)
def test_loads_that_are_refused(build, words):
    with pytest.raises(ValueError, match=words):
        build()
