"""A layout as a source: EMF, torque, resistance when warm, and what is refused."""

from math import pi

import numpy as np
import pytest
from layouts import lantern_layout

from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import waveform

PLAIN = {
    "name": "plain", "pole_pairs": 4, "orders": np.array([1.0, 3.0]), "flux_constants": np.array([0.02, 0.003]),
    "resistance": 5.0, "inductance": 1e-3,
}  # fmt: skip


def test_emf_is_that_of_the_layout():
    layout = lantern_layout("wedge")
    source, figures = thevenin_of(layout), evaluate(layout)
    speed = layout.speed_rpm * 2 * pi / 60
    assert source.emf_constant * speed == pytest.approx(figures.emf_rms_V, rel=1e-6)
    assert source.peak_constant * speed == pytest.approx(figures.emf_peak_V, rel=1e-4)
    assert source.frequency(speed) == pytest.approx(figures.frequency_Hz)
    angle = np.array([0.1, 0.3])
    assert source.emf(angle, speed) == pytest.approx(waveform(layout).at(4 * angle), rel=1e-9)


def test_warm_copper_resists_more():
    layout = lantern_layout("round")
    assert thevenin_of(layout, 70.0).resistance == pytest.approx(
        thevenin_of(layout).resistance * 1.1965, rel=1e-4
    )


def test_torque_per_ampere_is_volts_per_speed():
    source = TheveninSource(**PLAIN)
    angle = np.linspace(0, 2, 50)
    assert source.emf(angle, 30.0) == pytest.approx(30.0 * source.torque_constant(angle))


def test_a_commutated_source_is_steady():
    source = TheveninSource(
        **PLAIN | {"orders": np.array([0.0]), "flux_constants": np.array([0.05]), "kind": "commutated"}
    )
    assert source.emf(np.array([0.0, 1.0]), 20.0).tolist() == [1.0, 1.0]
    assert source.emf_constant == source.peak_constant == 0.05
    assert source.frequency(100.0) == 0.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"resistance": 0.0}, "resistance must be above zero, was 0"),
        ({"inductance": -1.0}, "inductance must be at least zero, was -1"),
        ({"pole_pairs": 0}, "pole_pairs must be at least 1, was 0"),
        ({"orders": np.array([1.0, 2.0])}, "orders of an alternating source must be odd"),
        ({"orders": np.array([1.0])}, "must be equally long"),
        ({"kind": "commutated"}, r"must be \[0\]"),
    ],
)
def test_what_is_refused(changes, words):
    with pytest.raises(ValueError, match=words):
        TheveninSource(**PLAIN | changes)
