"""Energy and charge balance of any load on any source: what the shaft brings is what comes out."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from optimizer.circuit.diodes import SCHOTTKY, SILICON
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
from optimizer.loads.electromagnetic_torque import electromagnetic_torque

decades = st.floats(-3, 4).map(lambda power: 10**power)
ohms, drops = decades, st.sampled_from([0.0, 0.35, 0.8, SCHOTTKY, SILICON])
LOADS = st.one_of(
    st.just(OpenCircuit()),
    st.builds(Resistor, ohms=ohms),
    st.builds(BridgeResistor, ohms=ohms, drop=drops),
    st.builds(BridgeCapacitor, ohms=ohms, farads=st.floats(-7, 2).map(lambda power: 10**power), drop=drops),
    st.builds(BridgeBattery, volts=st.floats(0.1, 30), ohms=st.sampled_from([0.0, 0.1, 10.0]), drop=drops),
    st.builds(
        UsbConverter, least_input=st.floats(0.5, 10), efficiency=st.floats(0.3, 1), drop=drops,
        most_watts=st.floats(0.01, 10),
    ),
)  # fmt: skip


@st.composite
def sources(draw):
    amplitudes = [1.0, *draw(st.lists(st.floats(-0.3, 0.3), max_size=3))]
    size = draw(st.floats(-3, 0))
    return TheveninSource(
        name="any",
        pole_pairs=draw(st.integers(1, 12)),
        orders=2.0 * np.arange(len(amplitudes)) + 1,
        flux_constants=np.array(amplitudes) * 10**size,
        resistance=10 ** draw(st.floats(-2, 3)),
        inductance=draw(st.sampled_from([0.0, 1e-6, 1e-4, 1e-2, 1.0])),
        eddy=draw(st.sampled_from([0.0, 1e-6, 1e-2])),
    )


def work_of_the_emf(point):
    """Mean of e·i by the trapezoid rule over the printed waveforms."""
    waves = point.waves
    return float(np.mean(waves.emf[:-1] * waves.current[:-1]))


@settings(max_examples=examples(200), deadline=None)
@given(sources(), LOADS, st.floats(10, 3000))
def test_the_parts_make_the_whole(source, load, rpm):
    point = steady_state(source, load, rpm)
    parts = point.load_watts + point.copper_watts + point.diode_watts + point.converter_watts + point.eddy_watts
    assert point.shaft_watts == pytest.approx(parts, rel=1e-4)
    assert all(
        watts >= 0
        for watts in (point.load_watts, point.copper_watts, point.diode_watts, point.converter_watts)
    )
    assert 0 <= point.efficiency <= 1
    assert point.starts == (point.load_watts > 0)
    peak = float(np.abs(point.waves.emf).max())
    assert work_of_the_emf(point) == pytest.approx(
        point.shaft_watts - point.eddy_watts, rel=2e-2, abs=1e-3 * peak**2 / source.resistance
    )


@pytest.mark.parametrize("inductance", [0.0, 1e-3, 20e-3, 0.2])
@pytest.mark.parametrize(
    "load",
    [
        Resistor(ohms=8.0),
        BridgeResistor(ohms=8.0, drop=0.35),
        BridgeCapacitor(ohms=8.0, farads=1e-3, drop=0.35),
        BridgeCapacitor(ohms=8.0, farads=10.0, drop=0.35),
        BridgeCapacitor(ohms=8.0, farads=1e-9, drop=0.35),
        BridgeBattery(volts=3.0, ohms=0.1, drop=0.8),
        UsbConverter(least_input=3.0, efficiency=0.8, drop=0.35, most_watts=0.5),
    ],
    ids=lambda load: type(load).__name__,
)
def test_work_of_the_emf_is_the_sum_of_the_powers(load, inductance):
    """Independent integrals: e·i over the 720 printed samples, whose kinks cost up to 5e-4, against the parts."""
    source = TheveninSource(
        name="x", pole_pairs=4, orders=np.array([1.0, 3.0, 5.0]), flux_constants=np.array([0.1, 0.02, -0.01]),
        resistance=4.0, inductance=inductance,
    )  # fmt: skip
    for rpm in (300.0, 900.0, 2400.0):
        point = steady_state(source, load, rpm)
        assert work_of_the_emf(point) == pytest.approx(point.shaft_watts, rel=5e-4, abs=1e-9)
        current = point.waves.current[:-1]
        assert np.mean(current**2) ** 0.5 == pytest.approx(point.current_rms, rel=5e-4, abs=1e-9)
        assert current.mean() == pytest.approx(0.0, abs=1e-9 + 1e-9 * np.abs(current).max())
        if point.dc_amps:
            assert np.abs(current).mean() == pytest.approx(point.dc_amps, rel=5e-4)


@pytest.mark.parametrize("inductance", [0.0, 1e-3, 20e-3])
@pytest.mark.parametrize(
    "load",
    [
        BridgeResistor(ohms=8.0, drop=SCHOTTKY),
        BridgeResistor(ohms=8e3, drop=SILICON),
        BridgeBattery(volts=3.0, ohms=0.1, drop=SILICON),
        BridgeCapacitor(ohms=80.0, farads=1e-3, drop=SCHOTTKY),
        UsbConverter(least_input=3.0, efficiency=0.8, drop=SILICON, most_watts=0.5),
    ],
    ids=lambda load: type(load).__name__,
)
def test_work_of_the_emf_behind_diodes_of_their_own_law(load, inductance):
    """Within 0.3 %: 128 steps to half a period. What the bridge leaks flows in the winding, not in the load."""
    source = TheveninSource(
        name="x", pole_pairs=4, orders=np.array([1.0, 3.0, 5.0]), flux_constants=np.array([0.1, 0.02, -0.01]),
        resistance=4.0, inductance=inductance,
    )  # fmt: skip
    for rpm in (500.0, 900.0):
        point = steady_state(source, load, rpm)
        assert work_of_the_emf(point) == pytest.approx(point.shaft_watts, rel=3e-3)
        current = np.abs(point.waves.current[:-1]).mean()
        assert current >= point.dc_amps * (1 - 3e-3)
        assert current == pytest.approx(point.dc_amps, rel=3e-3, abs=2.1 * load.drop.saturation)


def test_torque_times_speed_is_the_sum_of_the_powers_at_every_speed():
    source = TheveninSource(
        name="x", pole_pairs=4, orders=np.array([1.0]), flux_constants=np.array([0.1]), resistance=4.0, inductance=5e-3,
        eddy=2e-5,
    )  # fmt: skip
    torque_law = electromagnetic_torque(source, BridgeBattery(volts=3.0, ohms=0.1, drop=0.8), 2000.0)
    speeds = np.linspace(0, 300, 77)
    means = torque_law.at(speeds)
    parts = means.watts + means.copper + means.diodes + means.eddy
    assert means.torque * speeds == pytest.approx(parts, rel=1e-12, abs=1e-15)
    for rpm in (500.0, 777.0, 1900.0):
        point = steady_state(source, BridgeBattery(volts=3.0, ohms=0.1, drop=0.8), rpm)
        assert torque_law.at(rpm * pi / 30).torque == pytest.approx(point.torque, rel=2e-3)


def test_more_inductance_never_gives_a_resistor_more():
    watts = [
        steady_state(
            TheveninSource(
                name="x", pole_pairs=6, orders=np.array([1.0]), flux_constants=np.array([0.1]), resistance=2.0,
                inductance=henries,
            ),
            BridgeResistor(ohms=5.0, drop=0.35),
            1500.0,
        ).load_watts
        for henries in (0.0, 1e-4, 1e-3, 1e-2, 1e-1, 1.0)
    ]  # fmt: skip
    assert watts == sorted(watts, reverse=True)
    assert watts[-1] < 0.01 * watts[0]
