"""Convergence order of every quadrature and interpolation that the EMF rests on."""

from math import pi

import numpy as np
import pytest
from layouts import lantern_layout

import optimizer.field.emf
from geometry.coils.bundle import Envelope
from geometry.coils.topology import ROUND, SERPENTINE, TOPOLOGIES, WEDGE, Topology
from geometry.curves.curve import Arc, Line
from geometry.stock.magnet import DiscMagnet
from optimizer.field.emf import height_nodes, waveform
from optimizer.field.linkage import flux_cutting, functional, half_turn_functional
from optimizer.field.pole_harmonics import axial_field, disc_profile, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import (
    POINTS,
    chebyshev,
    chebyshev_basis,
    even_grid,
    even_weights,
    gauss,
    lagrange_stencil,
)


@pytest.mark.parametrize("count", [1, 2, 4, 8])
def test_gauss_is_exact_up_to_its_degree(count: int):
    t, w = gauss(count)
    for degree in range(2 * count):
        assert w @ t**degree == pytest.approx(1 / (degree + 1), rel=1e-13)
    assert abs(w @ t ** (2 * count) - 1 / (2 * count + 1)) > 1e-12


@pytest.mark.parametrize("count", [1, 4, 8])
def test_chebyshev_is_exact_up_to_its_degree(count: int):
    nodes, x = chebyshev(count), np.linspace(-1, 1, 41)
    assert np.all(np.diff(nodes) > 0)
    for degree in range(count):
        np.testing.assert_allclose(chebyshev_basis(count, x) @ nodes**degree, x**degree, atol=1e-13)
    assert np.abs(chebyshev_basis(count, x) @ nodes**count - x**count).max() > 1e-3 / 2**count


def test_chebyshev_converges_with_the_bernstein_radius():
    """The error for a pole at `away` from the middle falls as ρ^−n, ρ = away + √(away² − 1)."""
    away, x = 1.5, np.linspace(-1, 1, 200)

    def error(count: int) -> float:
        found = chebyshev_basis(count, x) @ (1 / (away - chebyshev(count)))
        return float(np.abs(found - 1 / (away - x)).max())

    rate = (error(6) / error(14)) ** (1 / 8)
    assert rate == pytest.approx(away + np.sqrt(away**2 - 1), rel=0.05)


def test_lagrange_is_of_sixth_order():
    x = np.linspace(0.0, 1.0, 3001)

    def error(size: int) -> float:
        grid = np.linspace(0, 1, size)
        first, weights = lagrange_stencil(grid, x)
        values = np.sin(7 * grid)[first + np.arange(POINTS)[:, None]]
        return float(np.abs(np.sum(weights * values, axis=0) - np.sin(7 * x)).max())

    orders = np.log2([error(33) / error(65), error(65) / error(129)])
    assert orders == pytest.approx([6, 6], abs=0.4)


def test_lagrange_is_exact_up_to_its_degree_everywhere():
    grid, x = even_grid(0.02, 0.05, 0.0031), np.linspace(0.02, 0.05, 77)
    first, weights = lagrange_stencil(grid, x)
    for degree in range(POINTS):
        values = (grid / 0.05)[first + np.arange(POINTS)[:, None]] ** degree
        np.testing.assert_allclose(np.sum(weights * values, axis=0), (x / 0.05) ** degree, rtol=1e-11)


def test_even_grid_is_fine_enough():
    grid = even_grid(0.02, 0.05, 0.0031)
    assert (grid[0], grid[-1]) == (0.02, 0.05)
    assert np.diff(grid) == pytest.approx(0.003)
    assert even_grid(0.0, 1.0, 10.0).size == POINTS


@pytest.mark.parametrize("topology", [SERPENTINE, WEDGE, ROUND], ids=lambda topology: topology.name)
def test_the_functional_converges_with_its_grid(topology: Topology):
    """Sixth order in the radial step, on a field as fine as the smallest height lets it be."""
    envelope = Envelope(inner_radius=0.028, outer_radius=0.05, width=0.004, sectors=8, peg_radius=0.0015)
    fine = 1.5e-3

    def linked(steps: int) -> float:
        grid = np.linspace(0.028, 0.05, steps + 1)
        row = half_turn_functional(topology, envelope, np.array([0.001]), grid, np.array([12.0]))[0, 0]
        return float(row @ np.exp(-(((grid - 0.04) / (3 * fine)) ** 2)))

    exact = linked(640)
    errors = [abs(linked(steps) - exact) for steps in (20, 40, 80)]
    assert errors[0] < 2e-3 * abs(exact)
    assert errors[0] / errors[2] > 2**10  # two halvings at sixth order: 2^12


def test_arcs_about_the_shaft_cut_nothing():
    """A ring without legs, marked as about the shaft or not, beside a leg that goes out and back."""
    leg = Line(0.03 + 0j, 0.04 + 0.01j)
    marked = [Arc(0.0, 0.04, 0.3, 2 * pi), leg, leg.reversed()]
    unmarked = [Arc(1e-300, 0.04, 0.3, 2 * pi), leg, leg.reversed()]
    grid = even_grid(0.02, 0.05, 1e-3)
    for stretches in (marked, unmarked):
        radius, angle, weight = (part[None] for part in flux_cutting(stretches, [24, 24, 24]))
        row = functional(radius, angle, weight, grid, np.array([4.0]))
        assert np.abs(row.sum()) < 1e-18
    radius, angle, weight = (part[None] for part in flux_cutting([leg], [24]))
    assert abs(functional(radius, angle, weight, grid, np.array([4.0])).sum()) > 1e-5


@pytest.mark.parametrize("height", [0.5e-3, 3e-3])
def test_pole_harmonics_against_plain_fourier_sums(height: float):
    disc, count, pitch = DiscMagnet(diameter=0.015, thickness=0.004, remanence=1.3), 8, 0.04
    radii, orders = np.array([0.03, 0.0325, 0.04, 0.05]), odd_orders(count, 0.05, height)
    found = pole_harmonics(disc_profile(disc, np.array([height]), 0.1), count, pitch, radii, orders)[:, 0]
    angle = np.arange(20000) * 2 * pi / 20000
    field = axial_field(disc, np.abs(radii[:, None] * np.exp(1j * angle) - pitch), height)
    plain = 2 * count * np.mean(field[None] * np.cos(np.outer(orders * count / 2, angle))[:, None], axis=2)
    np.testing.assert_allclose(found, plain, atol=2e-5 * np.abs(plain).max())


@pytest.mark.parametrize("shape", TOPOLOGIES)
@pytest.mark.parametrize("air_gap", [0.5e-3, 1.5e-3, 5e-3])
def test_finer_steps_change_nothing(shape: str, air_gap: float, monkeypatch: pytest.MonkeyPatch):
    layout = lantern_layout(shape, air_gap=air_gap)
    usual = waveform(layout)
    monkeypatch.setattr(optimizer.field.emf, "OFFSETS", 16)
    monkeypatch.setattr(
        optimizer.field.emf, "height_nodes", lambda gap, height: gap + height * (chebyshev(24) + 1) / 2
    )
    monkeypatch.setattr(optimizer.field.emf, "even_grid", lambda low, high, step: even_grid(low, high, step / 2))
    finer = waveform(layout)
    assert usual.rms == pytest.approx(finer.rms, rel=1e-4)
    np.testing.assert_allclose(usual.amplitudes, finer.amplitudes, atol=3e-4 * finer.rms)


def test_heights_hold_the_bundle():
    for gap, height in ((0.5e-3, 5e-3), (5e-3, 1e-3)):
        nodes = height_nodes(gap, height)
        assert nodes.min() > gap
        assert nodes.max() < gap + height
    assert height_nodes(0.5e-3, 5e-3).size > height_nodes(5e-3, 1e-3).size


@pytest.mark.parametrize("count", [6, 9, 30])
def test_weights_on_an_even_grid_integrate_what_is_interpolated(count: int):
    """Exactly for polynomials of the interpolation's degree, closely for what is smooth on the grid."""
    grid = np.linspace(-0.3, 1.1, count)
    for degree in range(POINTS):
        exact = (1.1 ** (degree + 1) - (-0.3) ** (degree + 1)) / (degree + 1)
        assert even_weights(grid) @ grid**degree == pytest.approx(exact, rel=1e-12)
    assert even_weights(grid) @ np.cos(grid) == pytest.approx(np.sin(1.1) + np.sin(0.3), rel=1e-5)
