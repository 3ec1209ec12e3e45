"""Functions and splines of our own against scipy's, which takes long to load."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from scipy.special import ellipe, ellipk, wrightomega

from geometry.stock.demagnetizing import elliptic_integrals
from optimizer.numerics.even_spline import EvenSpline
from optimizer.numerics.wright_omega import wright_omega


@pytest.mark.parametrize("count", [4, 5, 60])
def test_a_spline_is_scipys(count: int):
    random = np.random.default_rng(count)
    knots, values = np.linspace(-3.0, 5.0, count), random.normal(size=(2, 3, count))
    asked = np.resize([*knots, *random.uniform(-3.2, 5.2, 100)], (30, 5))  # a little beyond the ends too
    ours = EvenSpline.through(knots[0], knots[1] - knots[0], values)(asked)
    theirs = CubicSpline(knots, values, axis=-1)(asked)
    assert ours.shape == (2, 3, *asked.shape)
    np.testing.assert_allclose(ours, theirs, rtol=1e-9, atol=1e-12)


def test_wrights_omega_is_scipys():
    x = np.concatenate([np.linspace(-700, 700, 3001), np.linspace(-60, 20, 4001)])
    np.testing.assert_allclose(wright_omega(x), wrightomega(x), rtol=1e-14)


def test_elliptic_integrals_are_scipys():
    for m in (0.0, 1e-9, 0.1, 0.5, 0.9, 0.9999, 1 - 1e-8):
        assert elliptic_integrals(m) == pytest.approx((ellipk(m), ellipe(m)), rel=2e-15)
