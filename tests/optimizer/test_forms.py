"""The page's forms as the server sends them: every key of the files' tables, from the tables alone."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.files.schema import key_entries
from geometry.machine.layout_file import LayoutTable
from geometry.stock.magnet_shapes import SHAPES
from optimizer.answers.forms import coil_icon, forms, magnet_icon

DESIGN = forms()["fields"]["design"]
LIMITS = {entry.name: entry.says for entry in key_entries(LayoutTable)}
NUMBER = r"-?\d+(?:\.\d+)?"


def corners(path: str) -> np.ndarray:
    """Where the pieces of path data end, (P, 2)."""
    ends = re.findall(rf"({NUMBER}) ({NUMBER})(?= [MLAZ])", path)
    return np.array(ends, float)


def test_the_design_shows_every_key_of_its_file_once():
    shown = Counter(key for _, keys in forms()["groups"]["design"] for key in keys)
    assert shown == Counter(list(LIMITS))


def test_sliders_stay_within_what_the_file_takes():
    sliding = {key: field["slide"] for key, field in DESIGN.items() if "slide" in field}
    assert len(sliding) > 20
    for key, (low, high, step, *of) in sliding.items():
        says = LIMITS[key]
        assert says.get("minimum", 0) <= low < says["maximum"], key
        assert of == ["space.outer_diameter_mm"] or low < high <= says["maximum"], key
        assert 0 < step <= 10
        assert not step % says.get("multipleOf", step)


def test_every_shape_brings_a_picture_of_its_own():
    coils, magnets = DESIGN["winding.topology"]["pictures"], DESIGN["carrier.magnet.shape"]["pictures"]
    assert list(coils) == list(TOPOLOGIES)
    assert list(magnets) == list(SHAPES)
    paths = [path for _, path in (*coils.values(), *magnets.values())]
    assert len(set(paths)) == len(paths)
    for box, path in (*coils.values(), *magnets.values()):
        x, y, width, height = map(float, box.split())
        ends = corners(path)
        assert len(ends) >= 3
        assert np.all((ends >= (x, y)) & (ends <= (x + width, y + height)))
    assert coils["racetrack"][1].count("L") == 2  # its straight sides
    assert magnets["ring"][1].count("M") == 2  # its hole


@pytest.mark.parametrize("shape", TOPOLOGIES.values(), ids=list(TOPOLOGIES))
def test_a_picture_follows_the_outline(shape: Topology):
    other = replace(shape, half_turn=TOPOLOGIES["round"].half_turn, closed_turn=TOPOLOGIES["round"].closed_turn)
    assert (coil_icon(other) == coil_icon(shape)) == (shape.name == "round")
    assert magnet_icon(SHAPES["block"]) != magnet_icon(SHAPES["arc"])
