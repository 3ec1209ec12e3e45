"""Turns in the section of a bundle."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.coils.bundle import cell_clearance, layer_count, max_turns, turn_positions, turns_per_layer
from geometry.stock.wire import Wire

SIZE = st.floats(5e-4, 1e-2)
WIRE = Wire(diameter=0.4e-3)  # 0.439 mm over the enamel


def test_twelve_turns_by_hand():
    offsets, levels = turn_positions(12, 4e-3, 3e-3)
    assert np.unique(levels) * 1e3 == pytest.approx([0.5, 1.5, 2.5])
    assert offsets[:4] * 1e3 == pytest.approx([-1.5, -0.5, 0.5, 1.5])


def test_seven_turns_by_hand():
    """Three layers of 2, 3 and 2 in a square section; with two layers of four the cells would be narrower."""
    assert layer_count(7, 3e-3, 3e-3) == 3
    assert turns_per_layer(7, 3) == [2, 3, 2]
    offsets, levels = turn_positions(7, 3e-3, 3e-3)
    assert offsets * 1e3 == pytest.approx([-0.75, 0.75, -1, 0, 1, -0.75, 0.75])
    assert levels * 1e3 == pytest.approx([0.5, 0.5, 1.5, 1.5, 1.5, 2.5, 2.5])


@given(turns=st.integers(1, 300), width=SIZE, height=SIZE)
def test_turns_lie_apart_inside_the_section(turns: int, width: float, height: float):
    offsets, levels = turn_positions(turns, width, height)
    assert offsets.shape == levels.shape == (turns,)
    cell = min(width / np.ceil(turns / layer_count(turns, width, height)), height / len(set(levels)))
    assert np.all(np.abs(offsets) <= width / 2 - cell / 2 + 1e-12)
    assert np.all(np.abs(levels - height / 2) <= height / 2 - cell / 2 + 1e-12)
    apart = np.abs(np.subtract.outer(offsets, offsets)), np.abs(np.subtract.outer(levels, levels))
    assert np.all((np.maximum(*apart) > cell - 1e-12) | np.eye(turns, dtype=bool))


@given(turns=st.integers(1, 300), width=SIZE, height=SIZE)
def test_turns_are_balanced(turns: int, width: float, height: float):
    offsets, levels = turn_positions(turns, width, height)
    assert abs(offsets.mean()) < 1e-9 * width
    # layers differ by at most one turn, so the mean height is off by less than half a layer's share of a turn
    assert abs(levels.mean() - height / 2) <= height / 2 / turns + 1e-12


@given(turns=st.integers(1, 300), layers=st.integers(1, 40))
def test_layers_hold_all_turns_evenly(turns: int, layers: int):
    held = turns_per_layer(turns, layers)
    assert len(held) == layers
    assert sum(held) == turns
    assert max(held) - min(held) <= 1


@given(turns=st.integers(1, 60), width=SIZE, height=SIZE)
def test_no_number_of_layers_leaves_larger_cells(turns: int, width: float, height: float):
    chosen = layer_count(turns, width, height)

    def cell(layers: int) -> float:
        return min(width / -(-turns // layers), height / layers)

    assert cell(chosen) >= max(cell(layers) for layers in range(1, turns + 1)) * (1 - 1e-9)


def test_cell_room_by_hand():
    # 12 turns in 4 × 3 mm have 1 mm each
    assert cell_clearance(12, 4e-3, 3e-3, WIRE) == pytest.approx(1e-3 - 0.439e-3)
    assert cell_clearance(120, 4e-3, 3e-3, WIRE) < 0


def test_most_turns_by_hand():
    # 4 × 3 mm: 0.6 · 12 mm²/0.151363 mm² = 47.6 by fill; 9 × 6 = 54 in a grid
    assert max_turns(4e-3, 3e-3, WIRE, 0.6) == 47
    assert max_turns(4e-3, 3e-3, WIRE, 0.8) == 54
    assert max_turns(0.4e-3, 3e-3, WIRE, 0.6) == 0
    assert max_turns(9 * 0.439e-3, 6 * 0.439e-3, WIRE, 0.9) == 54


@given(width=SIZE, height=SIZE, fill=st.floats(0.1, 0.9))
def test_what_most_turns_allows_fits(width: float, height: float, fill: float):
    turns = int(max_turns(width, height, WIRE, fill))
    assert turns * WIRE.overall_area <= fill * width * height * (1 + 1e-6)
    if turns:
        assert cell_clearance(turns, width, height, WIRE) >= -1e-9
