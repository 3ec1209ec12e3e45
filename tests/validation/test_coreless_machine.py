"""A published coreless machine with printed windings, measured and by finite elements.

Tokgoz, Cakal, Keysan, "Comparison of PCB winding topologies for axial-flux permanent magnet synchronous machines", IET
Electric Power Applications 14(13) 2577-2586 (2020), doi 10.1049/iet-epa.2020.0622, and the authors' open data.

Two carriers face each other, 16 arc magnets each on 5 mm of steel; between them a board of two copper layers. The air
gaps of the measured assemblies were not recorded: two sets of the same board differ by 8 %, hence that tolerance.
"""

from __future__ import annotations

from math import log, pi, radians, sin
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from geometry.coils.star_of_slots import star_of_slots
from geometry.curves.curve import Line
from geometry.machine.layout import magnet_stack
from geometry.stock.magnet_shapes import ArcMagnet
from optimizer.field.linkage import flux_cutting, functional
from optimizer.field.pole_harmonics import magnet_field, odd_orders, pole_harmonics

Real = NDArray[np.float64]

# 144° electrical; remanence at 25 °C
MAGNET = ArcMagnet(
    inner_radius=0.025, outer_radius=0.046, angle_deg=18, thickness=0.002, remanence=1.33, recoil_permeability=1.05
)  # fmt: skip
PAIRS, GAP = 8, 3e-3  # from magnet face to magnet face: 1 mm of air, the board, 1 mm of air
LAYERS = np.array(
    [1.0e-3 + 0.0347e-3, 2.0e-3 - 0.0347e-3]
)  # middles of the copper, on the faces of the board
STACK = magnet_stack(MAGNET, "facing", images=1.0, clear=GAP, reach=0.1)
GRID = np.linspace(0.024, 0.047, 93)

OUTER = 1e-3 * np.array([46, 45, 44, 43, 42, 41, 40])
INNER = 1e-3 * np.array([26, 27, 28, 29, 30, 31, 32])
SPAN = np.radians([224.721, 199.255, 173.790, 148.324, 122.859, 97.393, 71.927]) / PAIRS
COILS = 4  # of one phase, in series
TRACK, COPPER = 0.8e-3, 0.0694e-3  # width and thickness (2 oz) of the tracks
LINK = 0.049  # m of link arcs for each coil and layer, after the authors' drawings


def harmonics(heights: Real) -> tuple[Real, Real]:
    """Odd orders (K,) and pole harmonics (K, Z, R) over `GRID`."""
    orders = odd_orders(2 * PAIRS, 0.046, 1e-3)
    field = magnet_field(MAGNET, heights, 0.1, STACK)
    return orders, pole_harmonics(field, 2 * PAIRS, MAGNET.mid_radius, GRID, orders)


def per_leg(starts: Any, ends: Any) -> tuple[Real, Real]:
    """Orders, and ∫ r b_k sin(kpψ) dr along the lines, summed over all of them and both layers, (K,)."""
    orders, amplitudes = harmonics(LAYERS)
    lines = [Line(np.atleast_1d(starts), np.atleast_1d(ends))]
    rows = functional(*flux_cutting(lines, [24]), GRID, orders * PAIRS)
    return orders, np.einsum("ker,kzr->k", rows, amplitudes)


def concentric(rpm: float) -> tuple[Real, Real]:
    """Orders and peak EMF of a phase, V: 4 coils, 2 layers, 7 turns of two radial legs."""
    orders, linked = per_leg(INNER * np.exp(0.5j * SPAN), OUTER * np.exp(0.5j * SPAN))
    return orders, rpm * 2 * pi / 60 * COILS * 2 * linked


def radial_wave(rpm: float) -> float:
    """Fundamental of a phase of the radial wave winding: 48 turns in series, three conductors 20° apart."""
    radii = np.linspace(0.025, 0.046, 400)
    half = np.radians(np.interp(radii, [0.025, 0.031817, 0.039416, 0.046], [22.5, 13.475, 13.475, 0]))
    points = radii * np.exp(1j * half)
    spread = sin(radians(30)) / (3 * sin(radians(10)))
    _, linked = per_leg(points[:-1], points[1:])
    # `linked` counts both layers, one of which each of the 48 turns is in
    return float(rpm * 2 * pi / 60 * 48 * spread * 2 * linked[0] / 2)


def test_the_coils_of_a_phase_have_one_phase_and_sense() -> None:
    assert [sense for _, sense in star_of_slots(12, 16, 3)[0]] == [1] * COILS


def test_gap_field_against_finite_elements() -> None:
    """Peak fundamental at r 35.5 mm, mid gap: 0.8325 T; the third harmonic 0.1104 T."""
    _, amplitudes = harmonics(np.array([GAP / 2]))
    fundamental, third = (np.interp(0.0355, GRID, amplitudes[k, 0]) for k in (0, 1))
    assert fundamental == pytest.approx(0.8325, rel=0.05)
    assert abs(third) == pytest.approx(0.1104, rel=0.15)


def test_concentric_winding_against_finite_elements() -> None:
    """8.801 V peak at 2000 rpm, third harmonic 0.499 V."""
    _, peaks = concentric(2000)
    assert peaks[0] == pytest.approx(8.801, rel=0.05)
    assert abs(peaks[1]) == pytest.approx(0.499, rel=0.15)


def test_concentric_winding_against_both_measured_sets() -> None:
    """9.09 V peak at 2010 rpm (third harmonic 0.456 V), and 4.17 to 4.20 V per 1000 rpm in another assembly."""
    _, peaks = concentric(2010)
    assert peaks[0] == pytest.approx(9.09, rel=0.08)
    assert abs(peaks[1]) == pytest.approx(0.456, rel=0.15)
    per_krpm = peaks[0] / 2.010
    assert 4.17 * 0.92 < per_krpm < 4.52 * 1.08


def test_linear_in_speed() -> None:
    """The other assembly gave 4.17 to 4.20 V per 1000 rpm from 496 to 2003 rpm: ours is linear exactly."""
    slow, fast = concentric(496)[1], concentric(2003)[1]
    np.testing.assert_allclose(slow / 496, fast / 2003, rtol=1e-12)


def test_radial_wave_winding() -> None:
    """Measured 8.711 V peak near 2000 rpm, 8.802 V by the authors' finite elements."""
    assert radial_wave(2000) == pytest.approx(8.711, rel=0.08)
    assert radial_wave(2000) == pytest.approx(8.802, rel=0.05)


def loop_length(turn: int) -> float:
    return float(2 * (OUTER[turn] - INNER[turn]) + SPAN[turn] * (OUTER[turn] + INNER[turn]))


def test_resistance_with_the_links() -> None:
    """0.984 to 0.987 Ω measured on one board; annealed copper of IEC 60028 at 20 °C."""
    length = COILS * 2 * (sum(map(loop_length, range(7))) + LINK)
    assert length / 58e6 / (TRACK * COPPER) == pytest.approx(0.9857, rel=0.05)


def corners(turn: int, angle: float, height: float) -> Real:
    """A turn as a closed polygon (points, 3), m; arcs in chords of 2°."""
    half = SPAN[turn] / 2
    steps = np.linspace(-half, half, max(int(np.degrees(2 * half) / 1), 4))
    z = np.concatenate((OUTER[turn] * np.exp(1j * steps), INNER[turn] * np.exp(-1j * steps))) * np.exp(
        1j * angle
    )
    return np.column_stack((z.real, z.imag, np.full(z.size, height)))


def neumann(target: Real, source: Real, apart: float) -> float:
    """Mutual inductance of two polygons, H; `apart` (m) keeps them off each other, a turn by its own mean distance.

    The potential of each straight piece in closed form, at six Gauss points of every piece of the other.
    """
    t, w = np.polynomial.legendre.leggauss(6)
    steps, pieces = np.roll(target, -1, axis=0) - target, np.roll(source, -1, axis=0) - source
    points = (target[:, None] + (t[:, None] + 1) / 2 * steps[:, None]).reshape(-1, 3)
    weights = (w[:, None] / 2 * steps[:, None]).reshape(-1, 3)
    lengths = np.linalg.norm(pieces, axis=1)
    along = pieces / lengths[:, None]
    arms = points[:, None] - source
    ahead = np.einsum("pcj,cj->pc", arms, along)
    aside = np.sqrt(np.maximum((arms**2).sum(axis=2) - ahead**2, 0) + apart**2)
    potential = np.arcsinh(ahead / aside) + np.arcsinh((lengths - ahead) / aside)
    return float(1e-7 * np.einsum("pc,cj,pj->", potential, along, weights))


def test_inductance_of_the_bare_board() -> None:
    """10.3 to 10.5 µH by the meter. A tape's mean distance from itself is 0.2236 of width and thickness together."""
    own = 0.2236 * (TRACK + COPPER)
    board = [(turn, coil * pi / 2, float(z)) for coil in range(COILS) for z in LAYERS for turn in range(7)]
    loops = [corners(*place) for place in board]
    first = range(14)  # of one coil: all coils see the same
    total = sum(
        neumann(loops[i], loop, own if i == j else 1e-7) for i in first for j, loop in enumerate(loops)
    )
    assert COILS * total == pytest.approx(10.4e-6, rel=0.05)


def test_neumann_on_a_square_in_closed_form() -> None:
    """2 μ0 a/π (ln(2a/g) − 1 − asinh 1 + √2 − 1) for the side a and the mean distance g, much smaller."""
    side, own = 0.1, 1e-4
    square = side * np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]], float)
    fine = np.concatenate([a + (b - a) * np.linspace(0, 1, 60, endpoint=False)[:, None]
                           for a, b in zip(square, np.roll(square, -1, axis=0), strict=True)])  # fmt: skip
    expected = 8e-7 * side * (log(2 * side / own) - 2 + 2**0.5 - log(1 + 2**0.5))
    assert neumann(fine, square, own) == pytest.approx(expected, rel=2e-3)
