"""Self-inductance: rings and coils of the books.

Ring of round wire, R 50 mm, r 0.5 mm: 310.05 nH with uniform current, μ0 R (ln(8R/r) − 1.75) (textbook, from memory).
Wheeler, Proc. IRE 16 (1928) 1398: multilayer coil, 0.8 a² n²/(6a + 9b + 10c), inches, about 1 %.
Coaxial circles: Maxwell's mutual inductance by elliptic integrals, summed over every pair of turns: an independent way.
Thin solenoid: Lyle, Phil. Trans. A 213 (1914) 421, p. 429: a = 1 m, l = 0.5 m, one turn: 2.885335 µH.
"""

from math import exp, log, pi

import numpy as np
import pytest
from layouts import lantern_layout
from scipy.special import ellipe, ellipk

from geometry.coils.bundle import turn_positions
from geometry.stock.wire import Wire
from optimizer.evaluation.inductance import MU0, coil_formula, equal_circle, inductances, wheeler_multilayer


def coaxial(first, second, apart):
    """Maxwell's mutual inductance of coaxial circles, H."""
    m = 4 * first * second / ((first + second) ** 2 + apart**2)
    k = np.sqrt(m)
    return MU0 * np.sqrt(first * second) * ((2 / k - k) * ellipk(m) - 2 / k * ellipe(m))


@pytest.mark.parametrize(
    "changes",
    [
        {"turns": 1},
        {"turns": 2},
        {"turns": 40},
        {"turns": 100, "width": 0.008, "height": 0.006, "outer_radius": 0.0501, "peg_radius": 0.0005},
        {"turns": 10, "height": 0.0005},
        {"turns": 1200, "wire": Wire(diameter=0.1e-3)},
    ],
    ids=str,
)
def test_one_round_coil_is_the_sum_of_coaxial_circles(changes):
    layout = lantern_layout("round", **changes)
    winding = layout.winding
    offsets, levels = turn_positions(winding.turns, winding.width, winding.height)
    radii = (winding.outer_radius - winding.inner_radius - winding.width) / 2 + offsets
    pairs = coaxial(radii[:, None], radii, levels[:, None] - levels + np.eye(winding.turns))
    np.fill_diagonal(pairs, MU0 * radii * (np.log(8 * radii / (winding.wire.diameter / 2)) - 1.75))
    assert inductances(layout).coil == pytest.approx(pairs.sum(), rel=5e-4)


def test_ring_of_round_wire():
    gmd = 0.5e-3 * exp(-0.25)
    assert equal_circle(2 * pi * 0.05, pi * 0.05**2, gmd, 1) == pytest.approx(310.05e-9, rel=1e-3)


def test_wheeler_of_a_coil_of_one_inch():
    inch = 0.0254
    assert wheeler_multilayer(inch, inch, inch, 100) == pytest.approx(0.8e-6 * 1e4 / 25, rel=1e-12)


def test_lyle_of_a_thin_solenoid_bounds_a_thick_one():
    """A thin round coil of many turns tends to the current sheet as its depth goes; sheet of l/a = 0.5."""
    radius, length = 0.0125, 0.00625
    layout = lantern_layout(
        "round", inner_radius=0.0275 - 0.0001, outer_radius=0.0525 + 0.0001, width=0.0002, height=length,
        turns=52, wire=Wire(diameter=0.1e-3), outer_diameter=0.12, count=4,
    )  # fmt: skip
    sheet = 2.885335e-6 * radius * 52**2
    assert inductances(layout).coil == pytest.approx(sheet, rel=0.02)


@pytest.mark.parametrize("topology", ["round", "wedge", "serpentine"])
def test_the_formula_lies_within_its_band_of_the_sum(topology):
    layout = lantern_layout(topology)
    formula = coil_formula(layout)
    assert formula.inductance == pytest.approx(inductances(layout).coil, rel=formula.band)


def test_a_square_by_perimeter_and_area_is_seven_per_cent_high():
    """Grover's square: (2 μ0 a/π)(ln(a/g) − 0.774)."""
    side, gmd = 0.1, 0.1 / exp(3)
    exact = 2 * MU0 * side / pi * (log(side / gmd) - 0.774)
    assert equal_circle(4 * side, side**2, gmd, 1) == pytest.approx(exact * 1.072, rel=2e-3)
