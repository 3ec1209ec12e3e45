"""One magnet the wrong way up, against brute force: every magnet's own field along every turn, all around."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import pi

import numpy as np
import pytest
from family import facing_wedges, nine_wedges, three_serpentines
from layouts import lantern_layout

from geometry.curves.curve import polyline
from geometry.machine.filaments import phase_filaments
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from optimizer.building.winding_card import wrong_magnet
from optimizer.field.emf import machine_emf, magnet_emf
from optimizer.field.pole_harmonics import axial_field

STEPS = 240  # angles of the disc in one turn


def turns_of(layout: Layout, phase: int) -> list[tuple[int, np.ndarray, np.ndarray, float]]:
    """Coil, middles of short chords, ∫ r dr along each, and height, of every turn."""
    found = []
    for filament in phase_filaments(layout, phase):
        points = polyline(filament.curve, step=0.7e-3, sagitta=3e-6)
        points = np.append(points, points[0])
        chords = np.array([(a + b) / 2 for a, b in pairwise(points)])
        found.append((filament.coil, chords, np.diff(np.abs(points) ** 2) / 2, filament.height))
    return found


def pulses(layout: Layout, phase: int, upper: bool) -> dict[int, np.ndarray]:
    """What one magnet of a carrier drives in each coil of a phase while the disc turns once, V."""
    carrier, speed = layout.carrier, layout.speed_rpm * pi / 30
    magnets = carrier.pitch_radius * np.exp(2j * pi * np.arange(STEPS) / STEPS)
    assert isinstance(carrier.magnet, DiscMagnet)
    found: dict[int, np.ndarray] = {}
    for coil, chords, rdr, height in turns_of(layout, phase):
        distance = np.abs(chords - magnets[:, None])
        above = layout.clear - height if upper else height
        field = axial_field(carrier.magnet, distance, above)
        found[coil] = found.get(coil, np.zeros(STEPS)) + speed * (field @ rdr)
    return found


def brute_force(layout: Layout, phase: int) -> Callable[[int | None], tuple[np.ndarray, np.ndarray]]:
    """EMF of the phase's first coil and of the whole phase over a turn of the disc, V, for a magnet below
    the coils that lies the wrong way up."""
    carriers = [pulses(layout, phase, upper) for upper in (False, True)[: layout.carrier.carriers]]
    step = STEPS // layout.carrier.count

    def emf(turned: int | None) -> tuple[np.ndarray, np.ndarray]:
        waves = []
        for coil in carriers[0]:
            wave = np.zeros(STEPS)
            for level, carrier in enumerate(carriers):
                for index in range(layout.carrier.count):
                    sign = (1 - 2 * (index % 2)) * (-1 if (level, index) == (0, turned) else 1)
                    wave += sign * np.roll(carrier[coil], -index * step)
            waves.append(wave)
        return waves[0], np.sum(waves, axis=0)

    return emf


def rms(wave: np.ndarray) -> float:
    return float(np.sqrt(np.mean(wave**2)))


@pytest.mark.parametrize(
    "layout",
    [
        lantern_layout("wedge", turns=3),
        lantern_layout("round", turns=3),
        lantern_layout("serpentine", turns=2),
        nine_wedges(turns=3),
        facing_wedges(turns=3, plate=0.0),
        three_serpentines(turns=2, stacking="interleaved", height=0.004),
    ],
    ids=["wedge", "round", "serpentine", "nine wedges", "facing", "interleaved serpentines"],
)
def test_against_brute_force(layout: Layout) -> None:
    found = wrong_magnet(machine_emf(layout))
    emf = brute_force(layout, 0)
    alone, whole = emf(None)
    for magnet in (0, 3):
        spoilt_alone, spoilt = emf(magnet)
        assert rms(spoilt) / rms(whole) == pytest.approx(found.phases[0], rel=2e-3)
        assert rms(spoilt_alone) / rms(alone) == pytest.approx(found.coil, rel=2e-3)
        assert np.abs(spoilt_alone).mean() / np.abs(alone).mean() == pytest.approx(found.coil_mean, rel=3e-3)
        # the other half of the turn, half-waves against half-waves
        pole = STEPS // layout.carrier.count
        uneven = rms(spoilt + np.roll(spoilt, pole)) / rms(whole)
        assert (uneven < 0.01) == found.even


@pytest.mark.parametrize("shape", ["wedge", "round"])
def test_the_magnets_add_up(shape: str) -> None:
    """A ring of N magnets gives N times the one at the orders that it has; one magnet of N turned over leaves N − 2."""
    layout = lantern_layout(shape)
    orders, one = magnet_emf(layout)
    wave, pairs = machine_emf(layout).coils[0], layout.carrier.pole_pairs
    shared = one[np.isin(orders, wave.orders * pairs)]
    assert shared * layout.carrier.count == pytest.approx(wave.amplitudes, rel=1e-3, abs=1e-7)
    assert wrong_magnet(machine_emf(layout)).phases == pytest.approx([6 / 8], rel=1e-4)


def test_half_of_what_one_magnet_costs_with_facing_carriers() -> None:
    """The coil lies midway, so each carrier gives half."""
    assert wrong_magnet(machine_emf(facing_wedges())).phases == pytest.approx([7 / 8], rel=1e-6)


