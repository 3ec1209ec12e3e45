"""Battery chargers and rectifiers of the textbooks.

Rashid, Power Electronics, 4th ed., example 3.1 (from memory): 60 V rms, 12 V battery, mean 5 A, half wave: conduction
163.74°, R 4.26 Ω, 8.2 A rms; the full-wave twin (computed): R 8.512 Ω, 5.807 A rms, 287.0 W in the resistance.
Sedra & Smith, Microelectronic Circuits, diode charger example: 24 V peak, 12 V, 100 Ω: conduction 120°, peak 0.12 A.
Hambley, Electrical Engineering, problem 3.24: 20 V peak, 14 V, 10 Ω: peak 0.6 A, on for 25 % of the cycle.
A half-wave charger is one of the two halves of ours: the mean, mean square and share of the period are half as much.
Rashid's examples 3.3 (inductor on the direct side) and 3.8 (three phases) are of circuits that are not here.
"""

from math import cos, pi, radians, sqrt

import numpy as np
import pytest

from optimizer.circuit.loads import BridgeBattery, BridgeResistor
from optimizer.circuit.loads.load import LoadPoint, steady_state
from optimizer.circuit.thevenin import TheveninSource


def charger(peak: float, volts: float, ohms: float) -> LoadPoint:
    """Full wave, no inductance, ideal diodes."""
    source = TheveninSource(
        name="mains",
        pole_pairs=1,
        orders=np.array([1.0]),
        flux_constants=np.array([peak / (100 * pi)]),
        resistance=ohms,
        inductance=0.0,
    )
    return steady_state(source, BridgeBattery(volts=volts, ohms=0.0, drop=0.0), 3000.0)


def test_rashid_example_3_1_half_wave():
    point = charger(60 * sqrt(2), 12.0, 4.256)
    assert point.conducting_share * 180 == pytest.approx(163.74, abs=0.01)
    assert point.dc_amps / 2 == pytest.approx(5.0, rel=1e-3)
    assert point.current_rms / sqrt(2) == pytest.approx(8.212, rel=1e-3)
    assert point.copper_watts / 2 == pytest.approx(287.0, rel=2e-3)


def test_rashid_example_3_1_full_wave():
    point = charger(60 * sqrt(2), 12.0, 8.512)
    assert point.dc_amps == pytest.approx(5.0, rel=1e-3)
    assert point.current_rms == pytest.approx(5.807, rel=1e-3)
    assert point.copper_watts == pytest.approx(287.0, rel=1e-3)


def test_closed_form_of_the_mean_current():
    peak, volts, ohms = 20.0, 7.0, 3.0
    angle = np.arcsin(volts / peak)
    expected = (2 * peak * cos(angle) - (pi - 2 * angle) * volts) / (pi * ohms)
    assert charger(peak, volts, ohms).dc_amps == pytest.approx(expected, rel=1e-5)


def test_sedra_smith_charger():
    point = charger(24.0, 12.0, 100.0)
    assert point.conducting_share * 180 == pytest.approx(120.0, abs=1e-3)
    assert np.abs(point.waves.current).max() == pytest.approx(0.12, rel=1e-5)
    assert point.dc_amps / 2 == pytest.approx(26.16e-3, rel=1e-3)


def test_hambley_problem_3_24():
    point = charger(20.0, 14.0, 10.0)
    assert np.abs(point.waves.current).max() == pytest.approx(0.6, rel=1e-5)
    assert point.conducting_share / 2 == pytest.approx(0.253, abs=1e-3)
    assert point.dc_amps / 2 == pytest.approx(0.1002, rel=2e-3)


def test_mean_of_a_rectified_sine_is_two_over_pi():
    source = TheveninSource(
        name="sine",
        pole_pairs=3,
        orders=np.array([1.0]),
        flux_constants=np.array([0.1]),
        resistance=1e-3,
        inductance=0.0,
    )
    point = steady_state(source, BridgeResistor(ohms=1e3, drop=0.0), 600.0)
    peak = 0.1 * 20 * pi * 1e3 / (1e3 + 1e-3)
    assert point.dc_volts == pytest.approx(2 / pi * peak, rel=1e-6)
    assert point.dc_volts == pytest.approx(0.9003 * peak / sqrt(2), rel=1e-4)


def test_conduction_starts_where_the_emf_beats_the_battery():
    point = charger(60 * sqrt(2), 12.0, 8.512)
    first = np.flatnonzero(point.waves.current > 0)[0]
    assert point.waves.angle[first] == pytest.approx(radians(8.130), abs=2 * pi / 720)
