"""Plane curves: lengths, tangents, walking back, mirroring, turning, and the points along them."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.curves.curve import (
    Arc,
    Line,
    Stretch,
    circle,
    curve_length,
    mirrored_curve,
    polyline,
    reversed_curve,
    rotated_curve,
)

COORDINATE = st.floats(-0.1, 0.1)
POINT = st.builds(complex, COORDINATE, COORDINATE)
ANGLE = st.floats(-3, 3)
LINES = st.builds(Line, POINT, POINT)
ARCS = st.builds(Arc, POINT, st.floats(1e-3, 0.1), ANGLE, ANGLE)
STRETCHES = st.one_of(LINES, ARCS)
T = np.linspace(0, 1, 9)


def test_lengths_by_hand():
    assert Line(0j, 0.03 + 0.04j).length == pytest.approx(0.05)
    assert Arc(1 + 1j, 0.02, 0.3, -pi / 2).length == pytest.approx(0.01 * pi)
    assert curve_length((*circle(0.01 + 0j, 0.02), Line(0j, 0.03 + 0.04j))) == pytest.approx(0.04 * pi + 0.05)


@given(stretch=STRETCHES)
def test_tangent_is_the_derivative(stretch: Stretch):
    step = 1e-5
    slope = (stretch.at(T + step) - stretch.at(T - step)) / (2 * step)
    np.testing.assert_allclose(stretch.tangent(T), slope, atol=1e-9)
    # all points go by at the same pace, so the length is the tangent's
    np.testing.assert_allclose(np.abs(stretch.tangent(T)), stretch.length, atol=1e-12)


@given(stretch=STRETCHES, angle=ANGLE)
def test_moves(stretch: Stretch, angle: float):
    points = stretch.at(T)
    np.testing.assert_allclose(stretch.reversed().at(T), points[::-1], atol=1e-12)
    np.testing.assert_allclose(stretch.mirrored().at(T), points.conj(), atol=1e-12)
    np.testing.assert_allclose(stretch.rotated(angle).at(T), points * np.exp(1j * angle), atol=1e-12)


@given(first=STRETCHES, second=STRETCHES, angle=ANGLE)
def test_moves_of_curves_keep_their_length(first: Stretch, second: Stretch, angle: float):
    curve = (first, second)
    for moved in (reversed_curve(curve), mirrored_curve(curve), rotated_curve(curve, angle)):
        assert curve_length(moved) == pytest.approx(float(curve_length(curve)), rel=1e-12)
    np.testing.assert_allclose(reversed_curve(curve)[0].at(0.0), second.at(1.0), atol=1e-12)


def test_families_of_curves_broadcast():
    radii = np.array([0.01, 0.02, 0.03])
    family = Arc(0.0, radii, 0.0, pi)
    assert family.length == pytest.approx(pi * radii)
    assert Line(0j, radii).length == pytest.approx(radii)


@given(radius=st.floats(1e-3, 0.1), sagitta=st.floats(1e-7, 1e-5), step=st.floats(2e-4, 5e-3))
def test_polyline_keeps_chords_short_and_near(radius: float, sagitta: float, step: float):
    points = polyline(circle(0.02 + 0.01j, radius), step=step, sagitta=sagitta)
    chords = np.roll(points, -1) - points
    middles = points + chords / 2
    assert np.abs(points - (0.02 + 0.01j)) == pytest.approx(radius)
    assert np.all(np.abs(chords) <= step * (1 + 1e-9))
    assert np.all(radius - np.abs(middles - (0.02 + 0.01j)) <= sagitta * 1.01 + 1e-12)


def test_polyline_joins_stretches_without_repeats():
    square = (Line(0j, 1e-2 + 0j), Line(1e-2 + 0j, 1e-2 + 1e-2j), Line(1e-2 + 1e-2j, 1e-2j), Line(1e-2j, 0j))
    points = polyline(square, step=1e-2, sagitta=1e-6)
    assert points == pytest.approx(np.array([0, 1e-2, 1e-2 + 1e-2j, 1e-2j]))
    assert polyline((*square, Line(0j, 0j)), step=1e-2, sagitta=1e-6) == pytest.approx(points)


def test_polyline_of_an_arc_past_its_middle():
    """A turn of a round coil whose bundle has no hole left has a negative radius; its points are those of a circle."""
    points = polyline((Arc(0j, -1e-3, 0.0, 2 * pi),), step=1e-3, sagitta=1e-6)
    assert points.dtype == complex
    assert np.abs(points) == pytest.approx(1e-3)


def test_about_the_shaft():
    assert Arc(0.0, 0.02, 0.0, 1.0).about_shaft
    assert not Arc(1e-6, 0.02, 0.0, 1.0).about_shaft
    assert not Arc(np.array([0, 1e-6]), 0.02, 0.0, 1.0).about_shaft
