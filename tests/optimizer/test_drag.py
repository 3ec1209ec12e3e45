"""Drag against speed: interpolation against load points, beyond the fastest speed, the converter's step."""

from math import pi

import numpy as np
import pytest

from optimizer.circuit.loads import BridgeCapacitor, BridgeResistor, OpenCircuit, Resistor, UsbConverter
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.electromagnetic_torque import cut_in_speed, electromagnetic_torque, working_rpm

SOURCE = TheveninSource(
    name="x", pole_pairs=6, orders=np.array([1.0, 3.0]), flux_constants=np.array([0.08, 0.01]), resistance=3.0,
    inductance=2e-3,
)  # fmt: skip
USB = UsbConverter(least_input=4.0, efficiency=0.85, drop=0.35, most_watts=2.5)


@pytest.mark.parametrize(
    "load",
    [Resistor(ohms=4.0), BridgeResistor(ohms=4.0, drop=0.8), BridgeCapacitor(ohms=9.0, farads=1e-3, drop=0.35), USB],
    ids=lambda load: type(load).__name__,
)  # fmt: skip
@pytest.mark.slow
def test_between_its_points(load):
    torque_law = electromagnetic_torque(SOURCE, load, 1500.0)
    for rpm in np.linspace(130, 1490, 12):
        point, speed = steady_state(SOURCE, load, float(rpm)), rpm * pi / 30
        assert torque_law.at(speed).watts == pytest.approx(point.load_watts, rel=2e-3, abs=2e-4)
        assert torque_law.at(speed).torque * speed == pytest.approx(point.shaft_watts, rel=2e-3, abs=5e-4)


def test_the_torque_opposes_either_way_and_starts_with_the_output():
    load = BridgeResistor(ohms=4.0, drop=0.8)
    torque_law = electromagnetic_torque(SOURCE, load, 1500.0)
    begins = cut_in_speed(SOURCE, load)
    assert torque_law.at(np.array([0.0, 0.99 * begins])).torque.tolist() == [0.0, 0.0]
    assert torque_law.at(-50.0).torque == -torque_law.at(50.0).torque
    assert torque_law.at(1000.0).torque == pytest.approx(torque_law.at(1500 * pi / 30).torque)


def test_no_load_and_no_output_are_no_drag():
    assert electromagnetic_torque(SOURCE, OpenCircuit(), 1000.0).at(np.linspace(0, 200, 5)).torque.tolist() == [0.0] * 5
    assert electromagnetic_torque(SOURCE, USB, 100.0).at(5.0).torque == 0.0


def test_the_speed_at_which_a_converter_gets_all_it_wants():
    rpm = working_rpm(SOURCE, USB, 2.0)
    assert rpm is not None
    assert steady_state(SOURCE, USB, rpm * 1.001).load_watts >= 2.0 * 0.999
    assert steady_state(SOURCE, USB, rpm * 0.98).load_watts < 2.0
    assert working_rpm(SOURCE, USB, 3.0) is None


def test_output_begins_where_the_peak_beats_the_diodes():
    load = BridgeResistor(ohms=4.0, drop=0.8)
    rpm = cut_in_speed(SOURCE, load) * 30 / pi
    assert not steady_state(SOURCE, load, rpm * 0.999).starts
    assert steady_state(SOURCE, load, rpm * 1.01).starts


def test_a_fastest_speed_of_nothing_is_refused():
    with pytest.raises(ValueError, match="fastest_rpm must be above zero, was 0"):
        electromagnetic_torque(SOURCE, USB, 0.0)
