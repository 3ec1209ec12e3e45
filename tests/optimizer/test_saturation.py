"""Steel plates: the flux that they must carry, what is needed, the derating and its band, and the words."""

from __future__ import annotations

from math import pi

import magpylib as magpy
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.layout import Layout
from geometry.magnet import DiscMagnet
from optimizer.commands.words import figure_lines
from optimizer.evaluation import evaluate
from optimizer.report_reasons import method_sentences
from optimizer.saturation import derating_band, half_pole_flux, plate_check, plate_needed, saturation_table

BIG = DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.32)
MACHINES = {
    "single": lantern_layout(plate=0.002),
    "twelve big": lantern_layout(plate=0.002, magnet=BIG, count=12),
    "facing": lantern_layout(plate=0.002, magnet=BIG, count=12, arrangement="facing"),
}


def brute_flux(layout: Layout) -> float:
    """Half of the flux through one face in the plate's plane, over all magnets and images, by magpylib."""
    carrier, magnet = layout.carrier, layout.carrier.magnet
    radius = magnet.diameter / 2
    nodes, weights = np.polynomial.legendre.leggauss(16)
    angles = 2 * pi * (np.arange(24) + 0.5) / 24
    rho = radius * np.sqrt((nodes + 1) / 2)
    points = carrier.pitch_radius + rho[:, None] * np.exp(1j * angles)
    # a hair above the plate's face: the face itself is where magnet and image touch
    where = np.stack([points.real, points.imag, np.full(points.shape, 1e-7 - magnet.thickness)], axis=-1)
    discs = []
    for middle in layout.stack.middles:
        for index in range(carrier.count):
            axis = carrier.pitch_radius * np.exp(2j * pi * index / carrier.count)
            strength = carrier.polarization * (1 - 2 * (index % 2))
            discs.append(
                magpy.magnet.Cylinder(
                    polarization=(0, 0, strength), dimension=(magnet.diameter, magnet.thickness),
                    position=(axis.real, axis.imag, middle),
                )
            )  # fmt: skip
    field = np.asarray(magpy.getB(discs, where, sumup=True))[..., 2]
    return float(np.mean(field, axis=1) @ weights / 2 * pi * radius**2 / 2)


@pytest.mark.parametrize("name", MACHINES)
def test_flux_into_the_plate_against_brute_force(name: str) -> None:
    # 0.2 %: the column that stands for one pole face ends after some pole pitches
    assert half_pole_flux(MACHINES[name]) == pytest.approx(brute_flux(MACHINES[name]), rel=2e-3)


def test_needed_thickness_is_the_rule() -> None:
    layout = MACHINES["twelve big"]
    assert plate_needed(layout) == pytest.approx(half_pole_flux(layout) / (1.5 * 0.02))
    # twice as large in every direction: four times the flux over twice the width
    double = lantern_layout(
        plate=0.002, magnet=DiscMagnet(diameter=0.04, thickness=0.01, remanence=1.32), count=12, pitch_radius=0.08,
        outer_diameter=0.22,
    )  # fmt: skip
    assert plate_needed(double) == pytest.approx(2 * plate_needed(layout), rel=1e-3)


def test_the_table_is_followed_and_monotone() -> None:
    """At each recorded run the band holds that run; thicker plates never leave less."""
    for run in saturation_table():
        if run.plate:
            low, middle, high = derating_band(run.ratio)
            assert low - 1e-9 <= min(run.derating, 1.0) <= high + 1e-9
            assert low <= middle <= high
    bands = np.array([derating_band(ratio) for ratio in np.linspace(0, 2, 81)])
    assert np.all(np.diff(bands, axis=0) > -2e-3)  # to the finite elements' own noise
    assert 0.55 < bands[0, 1] < 0.75  # what is left without any plate
    assert bands[40:, 0].min() > 0.99  # from the needed thickness on


def test_the_rule_holds_over_the_recorded_machines() -> None:
    """Plain images serve from the needed thickness on; the loss goes by the ratio, whatever the machine."""
    runs = [run for run in saturation_table() if run.plate]
    assert len({run.machine for run in runs}) == 8
    assert max(abs(run.derating - 1) for run in runs if run.ratio >= 0.95) < 0.005
    for ratio in (0.25, 0.4, 0.6):
        low, _, high = derating_band(ratio)
        assert high - low < 0.08
    assert min(run.derating for run in runs if run.ratio < 0.25) < 0.9


def test_no_plate_no_check() -> None:
    layout = lantern_layout()
    assert plate_check(layout) is None
    figures = evaluate(layout)
    assert figures.plate_needed_mm is figures.plate_derating is figures.plate_derating_max is None
    assert figures.field_error is not None
    assert 0.001 < figures.field_error < 0.01
    words = "\n".join(figure_lines(figures))
    assert "steel" not in words
    assert "within 0." in words


def test_a_thick_plate_serves() -> None:
    layout = lantern_layout(plate=0.005)
    check, figures = plate_check(layout), evaluate(layout)
    assert check is not None
    assert check.enough
    assert check.low > 0.99
    assert check.words.startswith("5\u00a0mm of steel behind the magnets carries their flux, which asks for")
    assert figures.plate_needed_mm == pytest.approx(check.needed * 1e3)
    assert figures.field_error is not None
    assert figures.field_error < 0.015


def test_a_thin_plate_is_derated_with_its_band() -> None:
    layout = lantern_layout(plate=0.001)
    check, figures = plate_check(layout), evaluate(layout)
    assert check is not None
    assert not check.enough
    assert check.low < check.derating < check.high < 0.99
    assert "that the magnets' flux asks for" in check.words
    # the EMF itself is printed as of a plate that carries all; both stand side by side
    assert figures.emf_rms_V == pytest.approx(evaluate(lantern_layout(plate=0.005)).emf_rms_V)
    expected = figures.emf_rms_V * check.derating
    line = next(line for line in figure_lines(figures) if line.startswith("steel"))
    assert f"expect {expected:.3g}" in line
    assert f"not {figures.emf_rms_V:.3g}" in line
    assert "that the magnets' flux asks for" in method_sentences(layout, figures)[0]


def test_a_plate_that_is_only_just_too_thin_says_so_without_contradicting_itself() -> None:
    just = figure_lines(evaluate(lantern_layout("wedge", arrangement="facing", plate=0.003)))
    told = next(line for line in just if line.startswith("steel"))
    assert "but only just: expect" in told
    assert ", not " not in told
    thin = figure_lines(evaluate(lantern_layout("wedge", arrangement="facing", plate=0.0015)))
    assert ", not " in next(line for line in thin if line.startswith("steel"))
