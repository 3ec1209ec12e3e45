"""Enamelled wire: what is accepted, and areas and resistance by hand. The standard's tables are in tests/validation."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.stock.wire import ENAMELLED_WIRE_MM, Wire, resistance_at


def test_areas_and_resistance_by_hand():
    wire = Wire(diameter=0.5e-3)
    assert wire.copper_area == pytest.approx(0.19634954e-6)
    assert wire.overall_diameter == pytest.approx(0.544e-3)
    assert wire.overall_area == pytest.approx(0.23242807e-6)
    # 1 m / (58.5 MS/m · 0.19635 mm²)
    assert wire.resistance_per_metre == pytest.approx(0.0870591, rel=1e-6)


def test_grade_two_is_thicker_over_the_same_copper():
    thin, thick = Wire(diameter=0.5e-3), Wire(diameter=0.5e-3, grade=2)
    assert thick.overall_diameter == pytest.approx(0.566e-3)
    assert thick.resistance_per_metre == thin.resistance_per_metre


def test_a_diameter_comes_back_as_it_was_written():
    assert Wire(diameter=0.25000000001e-3).diameter_mm == 0.25
    assert Wire(diameter=0.3154e-3).diameter_mm == 0.3154


@pytest.mark.parametrize("diameter", [0.0, 0.019e-3, 3.01e-3, 0.5, -0.5e-3, float("nan")])
def test_diameters_that_no_hand_winds_are_refused(diameter: float):
    with pytest.raises(ValueError, match=r"wire diameter must be from 0\.02 to 3 mm, was"):
        Wire(diameter=diameter)


@given(st.floats(0.02, 3))
def test_any_size_between_has_the_enamel_of_the_next_larger_one(size: float):
    wire = Wire(diameter=size * 1e-3)
    larger = next(standard for standard in ENAMELLED_WIRE_MM if standard >= wire.diameter_mm)
    enamel = ENAMELLED_WIRE_MM[larger][2] - larger
    assert wire.overall_diameter * 1e3 == pytest.approx(size + enamel, abs=2e-6)
    assert wire.overall_diameter <= Wire(diameter=min(larger, 3) * 1e-3).overall_diameter
    low, high = wire.resistance_band
    assert low < wire.resistance_per_metre < high


def test_other_grades_are_refused():
    with pytest.raises(ValueError, match="enamel grade must be 1 or 2, was 3"):
        Wire(diameter=0.5e-3, grade=3)


def test_overall_diameters_make_sense():
    for bare, (least1, least2, most1, most2) in ENAMELLED_WIRE_MM.items():
        assert bare < bare + least1 < most1 < most2
        assert bare + least1 < bare + least2 < most2


def test_warm_copper():
    assert resistance_at(10.0, 70.0) == pytest.approx(10 * (1 + 0.00393 * 50))
    assert Wire(diameter=1e-3).copper_area == pytest.approx(pi / 4 * 1e-6)
