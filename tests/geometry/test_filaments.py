"""The exported filaments: where they lie, which way they point, what the file says."""

from typing import Any

import numpy as np
import pytest
from layouts import lantern_layout

from geometry.machine.filaments import SAGITTA, STEP, filaments_document, phase_filaments
from optimizer.evaluation.copper import wire_length

SHAPES = ("serpentine", "wedge", "round")


def turns_of(document: dict[str, Any]) -> list[np.ndarray]:
    """The phase's turns as (points, 3) in mm."""
    (phase,) = document["phases"]
    return [np.array(turn) for turn in phase]


def plane(turn: np.ndarray) -> np.ndarray:
    """Seen along the shaft, complex, mm."""
    return turn[:, 0] + 1j * turn[:, 1]


@pytest.mark.parametrize(("shape", "filaments"), [("serpentine", 40), ("wedge", 320), ("round", 320)])
def test_one_polyline_per_turn(shape: str, filaments: int):
    layout = lantern_layout(shape)
    assert len(turns_of(filaments_document(layout))) == filaments
    assert [(f.coil, f.turn) for f in phase_filaments(layout)] == [
        (coil, turn) for coil in range(layout.coils) for turn in range(40)
    ]


@pytest.mark.parametrize("shape", SHAPES)
def test_every_turn_lies_in_the_bundle_s_height(shape: str):
    layout = lantern_layout(shape)
    for turn in turns_of(filaments_document(layout)):
        assert np.ptp(turn[:, 2]) == 0
        assert 1.5 < turn[0, 2] < 6.5


@pytest.mark.parametrize("shape", SHAPES)
def test_chords_are_short_and_lengths_add_up(shape: str):
    layout = lantern_layout(shape)
    walked = 0.0
    for turn in turns_of(filaments_document(layout)):
        chords = np.abs(np.roll(plane(turn), -1) - plane(turn))
        assert chords.min() > 0.01  # no point twice, the first not repeated at the end
        assert chords.max() <= STEP * 1e3 + 1e-5
        walked += chords.sum()
    # arcs of radius R lose SAGITTA/(1.5 R) of their length at most
    assert walked * 1e-3 == pytest.approx(wire_length(layout), rel=SAGITTA / 1.5 / 1.5e-3)


@pytest.mark.parametrize("shape", SHAPES)
def test_neighbouring_coils_are_wound_in_opposite_sense(shape: str):
    layout = lantern_layout(shape, turns=1)
    areas = [
        float(np.sum((plane(t).conj() * np.roll(plane(t), -1)).imag)) / 2
        for t in turns_of(filaments_document(layout))
    ]
    senses = list(layout.order.senses)
    assert senses == ([1] if shape == "serpentine" else [1, -1] * 4)
    assert np.sign(areas) == pytest.approx(-np.array(senses))
    assert np.ptp(np.abs(areas)) < 1e-3 * abs(areas[0])


def test_magnets_of_the_file():
    document = filaments_document(lantern_layout())
    magnets = document["magnets"]
    assert document["speed_rpm"] == 400
    assert [magnet["polarity"] for magnet in magnets] == [1, -1] * 4
    assert {(m["shape"], m["diameter_mm"], m["thickness_mm"]) for m in magnets} == {("disc", 15.0, 4.0)}
    centers = np.array([magnet["center_mm"] for magnet in magnets])
    assert centers[0] == pytest.approx([40, 0, -2])
    assert centers[2] == pytest.approx([0, 40, -2])
    assert np.hypot(centers[:, 0], centers[:, 1]) == pytest.approx(40)
    polarization = lantern_layout().carrier.magnet.polarization
    assert {magnet["polarization_T"] for magnet in magnets} == {polarization}
    assert 1.2 < polarization < 1.28
