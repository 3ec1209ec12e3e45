"""Steel plates: the flux that they must carry, what is needed, the derating and its band, and the words."""

from __future__ import annotations

from dataclasses import fields
from math import pi

import magpylib as magpy
import numpy as np
import pytest
from layouts import lantern_layout
from scipy.optimize import least_squares

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.field.steel import (
    BANDS,
    LAW,
    OTHER_BAND,
    Law,
    Proportions,
    half_pole_flux,
    images_share,
    plate_needed,
    saturation_table,
)
from optimizer.terminal.printed_words import figure_lines
from optimizer.words.result_tables import method_sentences

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
    for middle in layout.stack(1.0).middles:
        for index in range(carrier.count):
            axis = carrier.pitch_radius * np.exp(2j * pi * index / carrier.count)
            strength = magnet.effective_polarization(backed=1.0) * (1 - 2 * (index % 2))
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
    layout = MACHINES[name]
    assert half_pole_flux(layout.carrier, layout.clear) == pytest.approx(brute_flux(layout), rel=2e-3)


def test_needed_thickness_is_the_rule() -> None:
    layout = MACHINES["twelve big"]
    assert plate_needed(layout) == pytest.approx(half_pole_flux(layout.carrier, layout.clear) / (1.5 * 0.02))
    # twice as large in every direction: four times the flux over twice the width
    double = lantern_layout(
        plate=0.002, magnet=DiscMagnet(diameter=0.04, thickness=0.01, remanence=1.32), count=12, pitch_radius=0.08,
        outer_diameter=0.22,
    )  # fmt: skip
    assert plate_needed(double) == pytest.approx(2 * plate_needed(layout), rel=1e-3)


def test_the_law_follows_the_recorded_discs() -> None:
    runs = [run for run in saturation_table() if run.plate and run.shape == "disc"]
    assert len(runs) > 280
    assert max(abs(run.error) for run in runs) < 0.0195
    assert np.quantile([abs(run.error) for run in runs], 0.9) < 0.009
    bare = [abs(run.error) for run in saturation_table() if not run.plate]
    assert max(bare) < 0.005


def test_the_band_holds_nine_machines_in_ten_that_the_fit_has_not_seen() -> None:
    names = [each.name for each in fields(Law)]
    start = [getattr(LAW, name) for name in names]
    runs = [run for run in saturation_table() if run.plate and run.shape == "disc"]
    at = {each.name: np.array([getattr(run.at, each.name) for run in runs]) for each in fields(Proportions)}
    alone, images, found = np.array([run.flux for run in runs]).T
    machine = np.array([run.machine for run in runs])

    def errors(constants: np.ndarray, kept: np.ndarray) -> np.ndarray:
        law = Law(**dict(zip(names, map(float, constants), strict=True)))
        share = law.share(Proportions(**{name: values[kept] for name, values in at.items()}))
        return (alone[kept] + share * (images[kept] - alone[kept])) / found[kept] - 1

    unseen = np.empty(len(runs))
    for name in set(machine):
        own = machine == name
        constants = least_squares(errors, start, args=(~own,)).x
        unseen[own] = errors(constants, own)
    assert np.quantile(np.abs(unseen), 0.9) < BANDS["disc"]
    assert np.abs(unseen).max() < 0.025


def test_the_band_of_blocks_is_wider() -> None:
    errors = [abs(run.error) for run in saturation_table() if run.plate and run.shape == "block"]
    assert np.quantile(errors, 0.9) < OTHER_BAND


@pytest.mark.parametrize("arrangement", ["single", "facing"])
@pytest.mark.parametrize("topology", ["wedge", "serpentine"])
def test_more_steel_never_gives_less(arrangement: str, topology: str) -> None:
    """From none on; only what the images add can saturate away."""
    layouts = [
        lantern_layout(topology, arrangement=arrangement, plate=mm * 1e-3, magnet=BIG, count=12)
        for mm in (0, 0.1, 0.25, 0.5, 1, 2, 4, 8)
    ]
    volts = [evaluate(layout).emf_rms_V for layout in layouts]
    assert volts == sorted(volts)
    assert volts[1] > volts[0]
    images = machine_emf(layouts[3], images=1.0).phases[0].rms
    share = images_share(layouts[3])
    assert volts[3] == pytest.approx(volts[0] + share * (images - volts[0]), rel=1e-4)


def test_no_plate_no_words() -> None:
    layout = lantern_layout()
    figures = evaluate(layout)
    assert figures.plate_needed_mm is figures.plate_derating is figures.plate_derating_band is None
    assert figures.field_error is not None
    assert 0.001 < figures.field_error < 0.01
    words = "\n".join(figure_lines(figures))
    assert "Steel" not in words
    assert "within 0." in words


def test_a_thick_plate_serves() -> None:
    layout = lantern_layout(plate=0.005)
    figures = evaluate(layout)
    assert figures.plate_derating == pytest.approx(1, abs=0.005)
    words = "\n".join(figure_lines(figures)).replace("\u00a0", " ")
    assert "5 mm of steel behind the magnets carries their flux, which asks for" in words
    assert figures.field_error is not None
    assert figures.field_error < 0.02


def test_a_thin_plate_is_derated_with_its_band() -> None:
    layout = lantern_layout(plate=0.001)
    figures = evaluate(layout)
    assert figures.plate_derating is not None
    assert figures.plate_derating_band is not None
    low, high = figures.plate_derating_band
    assert low < figures.plate_derating < high < 1
    thick = evaluate(lantern_layout(plate=0.05)).emf_rms_V
    assert figures.emf_rms_V == pytest.approx(figures.plate_derating * thick, rel=1e-3)
    assert "that the magnets' flux asks for" in method_sentences(figures)[0]
