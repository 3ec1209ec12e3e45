"""Three phases on a load: balances, closed forms, and cases that one winding decides."""

from math import pi, sqrt

import numpy as np
import pytest
from family import FAMILY
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.machine.speed import rad_s_of
from optimizer.circuit.bridge import Bridge
from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    Load,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import evaluate
from optimizer.loads.electromagnetic_torque import cut_in_speed

RPM = 750.0  # 50 Hz with four pole pairs
SPEED = rad_s_of(RPM)
LOADS: list[Load] = [
    OpenCircuit(),
    Resistor(ohms=8.0),
    BridgeResistor(ohms=12.0, drop=0.35),
    BridgeCapacitor(ohms=12.0, farads=2e-4, drop=0.8),
    BridgeBattery(volts=7.0, ohms=0.3, drop=0.35),
    UsbConverter(least_input=5.0, efficiency=0.8, drop=0.35),
]


def three(amplitudes: dict[int, float], connection: str = "star", lead: int = 1, **changes: float) -> TheveninSource:
    """Equal phases, each a third of a period behind the one before (ahead of it: lead −1); amplitudes in V at RPM."""
    orders = np.array(list(amplitudes), float)
    volts = np.array(list(amplitudes.values()))
    turned = np.exp(-2j * pi / 3 * lead * np.outer(range(3), orders))
    values = {"resistance": 3.0, "inductance": 4e-3} | changes
    return TheveninSource(
        name="three",
        pole_pairs=4,
        orders=orders,
        flux_constants=volts * turned / SPEED,
        connection="delta" if connection == "delta" else "star",
        **values,
    )


def shaft_watts(source: TheveninSource, load: Load) -> float:
    """Σ e i of the three windings, from a bridge's own waveforms, without what runs around a delta."""
    assert isinstance(load, BridgeResistor | BridgeBattery)
    sink, ohms = (load.volts, load.ohms) if isinstance(load, BridgeBattery) else (0.0, load.ohms)
    bridge = Bridge(
        orders=source.orders, amplitudes=source.star_constants * SPEED, resistance=source.arm[0],
        reactance=source.pole_pairs * SPEED * source.arm[1], threshold=sink + 2 * load.drop, ohms=ohms,
    )  # fmt: skip
    angle = np.linspace(0, 2 * pi, 20_001)[:-1]
    currents, _, _ = bridge.sampled(bridge.steady(), angle)
    return float((bridge.emf(angle) * currents).sum(axis=1).mean())


@pytest.mark.parametrize("connection", ["star", "delta"])
@pytest.mark.parametrize("load", LOADS[2::2], ids=lambda load: type(load).__name__)
def test_what_the_shaft_brings_is_what_the_emfs_give(connection: str, load: Load):
    source = three({1: 12.0, 3: 2.0, 5: -0.7, 7: 0.3}, connection, mutual=-5e-4)
    point = steady_state(source, load, RPM)
    around = 3 * source.circulating_square(SPEED) * source.resistance
    assert point.load_watts > 5
    assert point.shaft_watts - around == pytest.approx(shaft_watts(source, load), rel=1e-6)


wave = st.floats(-0.4, 0.4)


@pytest.mark.slow
@settings(max_examples=examples(40), deadline=None)
@given(
    harmonics=st.tuples(wave, wave, wave),
    uneven=st.tuples(st.floats(0.7, 1.3), st.floats(0.7, 1.3), st.floats(-0.4, 0.4)),
    reactance=st.floats(0.0, 12.0),
    ohms=st.floats(0.0, 50.0),
    threshold=st.floats(0.2, 25.0),
)
def test_energy_is_kept_by_any_three_emfs(harmonics, uneven, reactance, ohms, threshold):
    orders = np.array([1.0, 3.0, 5.0, 7.0])
    phases = np.exp(-2j * pi / 3 * np.outer(range(3), orders)) * 10 * np.array([1.0, *harmonics])
    amplitudes = phases * np.array([1.0, uneven[0], uneven[1] * np.exp(1j * uneven[2])])[:, None]
    bridge = Bridge(
        orders=orders, amplitudes=amplitudes, resistance=2.0, reactance=reactance, threshold=threshold, ohms=ohms
    )
    stretches = bridge.steady()
    angle = np.linspace(0, 2 * pi, 30_001)[:-1]
    currents, total, _ = bridge.sampled(stretches, angle)
    given_ = float((bridge.emf(angle) * currents).sum(axis=1).mean())
    means = bridge.means(stretches)
    taken = 2.0 * means.terminals_square + threshold * means.current + ohms * means.current_square
    assert (total > -1e-9).all()
    assert np.abs(currents.sum(axis=1)).max() < 1e-9
    assert given_ == pytest.approx(taken, rel=2e-4, abs=1e-5)


@pytest.mark.parametrize("reactance", [0.0, 0.5, 6.0])
def test_a_third_terminal_without_emf_leaves_a_bridge_of_one_winding(reactance: float):
    orders, amplitudes = np.array([1.0, 3.0]), np.array([10.0, 2.0])
    shared = {"threshold": 3.0, "susceptance": 0.4, "conductance": 0.05}
    arms = np.array([amplitudes / 2, -amplitudes / 2, 0 * amplitudes], complex)
    one, both = (
        Bridge(orders=orders, amplitudes=arms[:ends], resistance=2.0, reactance=reactance, **shared) for ends in (2, 3)
    )
    alone, among = one.steady(4.0), both.steady(4.0)
    assert both.means(among) == pytest.approx(one.means(alone), rel=1e-7)
    assert not any(s.path.sharers for s in among if s.path)


def test_mean_of_six_pulses_is_1_35_times_the_line_voltage():
    """3√2/π = 1.3505 (Mohan, Undeland, Robbins, Power Electronics, 3rd ed. (2003), section 5-6; from memory)."""
    source = three({1: 10.0})
    line = source.emf_constant * SPEED
    point = steady_state(source, BridgeResistor(ohms=1e7, drop=0.0), RPM)
    assert line == pytest.approx(10 * sqrt(3 / 2), rel=1e-12)
    assert point.dc_volts / line == pytest.approx(3 * sqrt(2) / pi, rel=1e-5)
    held = steady_state(source, BridgeCapacitor(ohms=1e7, farads=1e-3, drop=0.0), RPM)
    assert held.dc_volts == pytest.approx(10 * sqrt(3), rel=1e-3)  # the peak between two terminals


@pytest.mark.parametrize("load", LOADS, ids=lambda load: type(load).__name__)
def test_the_sense_of_turning_does_not_matter(load: Load):
    forward, back = (steady_state(three({1: 12.0, 5: 1.0}, lead=lead), load, RPM) for lead in (1, -1))
    assert forward.shaft_watts == pytest.approx(back.shaft_watts, rel=1e-7, abs=1e-12)
    assert forward.load_watts == pytest.approx(back.load_watts, rel=1e-7)


@pytest.mark.parametrize("load", LOADS[2:], ids=lambda load: type(load).__name__)
def test_delta_is_a_star_of_thirds(load: Load):
    """Windings of a third of the ohms and henries in star, turned by 30° and 1/√3 as strong, do the same."""
    delta, star = three({1: 18.0}, "delta"), three({1: 18 / sqrt(3)}, resistance=1.0, inductance=4e-3 / 3)
    assert steady_state(delta, load, RPM).load_watts == pytest.approx(
        steady_state(star, load, RPM).load_watts, rel=1e-7
    )
    assert delta.terminal_resistance == pytest.approx(star.terminal_resistance) == 2.0
    assert delta.peak_constant == pytest.approx(star.peak_constant, rel=1e-6)


def test_third_harmonics_run_around_a_delta_and_nowhere_else():
    source = three({1: 12.0, 3: 3.0}, "delta", mutual=-1e-3)
    impedance = abs(3.0 + 3j * 4 * SPEED * (4e-3 - 2e-3))
    amps = 3 / sqrt(2) / impedance
    point = steady_state(source, OpenCircuit(), RPM)
    assert point.copper_watts == pytest.approx(3 * amps**2 * 3.0, rel=1e-12) == point.shaft_watts
    assert steady_state(three({1: 12.0, 3: 3.0}), OpenCircuit(), RPM).shaft_watts == 0
    without = steady_state(three({1: 12.0}, "delta", mutual=-1e-3), LOADS[2], RPM)
    assert steady_state(source, LOADS[2], RPM).load_watts == pytest.approx(without.load_watts, rel=1e-7)


@pytest.mark.parametrize("connection", ["star", "delta"])
def test_three_resistances_take_a_third_each(connection: str):
    source = three({1: 10.0}, connection, inductance=0.0)
    point = steady_state(source, Resistor(ohms=3.0), RPM)
    assert point.load_watts == pytest.approx(3 * 10**2 / 2 / 4 / 3.0, rel=1e-12)
    assert point.load_rms == pytest.approx(10 / sqrt(2) / 2, rel=1e-12)
    assert point.copper_watts == pytest.approx(point.load_watts, rel=1e-12)
    assert point.current_rms == pytest.approx(10 / sqrt(2) / 6, rel=1e-12)


@pytest.mark.parametrize(
    "name", ["nine wedges", "twelve rounds", "three serpentines", "interleaved serpentines"]
)
def test_a_layout_as_a_source_has_its_figures(name: str):
    layout = FAMILY[name]
    source, figures = thevenin_of(layout), evaluate(layout)
    speed = rad_s_of(layout.speed_rpm)
    assert source.emf_constant * speed == pytest.approx(figures.emf_line_rms_V, rel=1e-6)
    assert source.resistance == pytest.approx(figures.resistance_ohm, rel=1e-8)
    assert cut_in_speed(
        source, BridgeBattery(volts=5, ohms=0, drop=0)
    ) * source.peak_constant == pytest.approx(5)


@pytest.mark.parametrize("name", ["nine wedges", "twelve rounds", "six wedges"])
def test_a_bridge_gets_nearly_what_matched_resistances_get(name: str):
    layout = FAMILY[name]
    source = thevenin_of(layout)
    arm = source.arm[0]
    matched = (source.emf_constant * rad_s_of(layout.speed_rpm)) ** 2 / (4 * arm)
    point = steady_state(source, BridgeResistor(ohms=pi**2 / 6 * arm, drop=0.0), layout.speed_rpm)
    assert 0.9 < point.load_watts / matched < 1.0
    direct = steady_state(source, Resistor(ohms=source.resistance), layout.speed_rpm)
    assert direct.load_watts == pytest.approx(matched, rel=0.02)


def test_sources_of_three_phases_that_are_refused():
    for changes, words in (({"mutual": -3e-3}, "mutual must"), ({"mutual": 5e-3}, "mutual must")):
        with pytest.raises(ValueError, match=words):
            three({1: 1.0}, **changes)
    with pytest.raises(ValueError, match="equally long"):
        TheveninSource(
            name="x", pole_pairs=1, orders=np.ones(1), flux_constants=np.ones(1), resistance=1.0,
            inductance=0.0, connection="star",
        )  # fmt: skip
