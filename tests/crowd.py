"""Random windings past random magnets, each beside the bound of all windings there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from layouts import lantern_layout

from geometry.machine.layout import Layout
from geometry.stock.wire import Wire
from optimizer.bounds.any_winding import Surroundings
from optimizer.evaluation.copper import wire_length
from optimizer.field.emf import machine_emf

WINDINGS = 25  # past the same magnets


def shares_of_bounds(places: int, seed: int) -> list[float]:
    """Share of its bound that every one of many windings reaches.

    The program is solved once a place; what it says of other lengths of wire and other fills holds as well.
    """
    rng, shares = np.random.default_rng(seed), list[float]()
    for _ in range(places):
        around = None
        for layout in _windings(rng, dict(_places(rng))):
            length, fill = wire_length(layout), layout.winding.fill_factor
            if not np.isfinite(length) or length <= 0:
                continue
            if around is None:
                own, most = fill, length
                around = Surroundings(layout, most)
            bound = around.emf_rms(fill / own, length / most)
            shares.append(float(np.mean([wave.rms for wave in machine_emf(layout).phases])) / bound)
    return shares


def _places(rng: np.random.Generator) -> Iterator[tuple[str, Any]]:
    """Magnets, gap, wire and height of a machine: what a bound is found for."""
    phases = int(rng.choice([1, 1, 3]))
    yield "phases", phases
    yield "count", int(rng.choice([4, 8, 12]))
    yield "pitch_radius", rng.uniform(0.03, 0.045)
    yield "arrangement", str(rng.choice(["single", "facing", "two-sided"]))
    yield "wire", Wire(diameter=float(rng.choice([0.2e-3, 0.25e-3, 0.4e-3])))
    yield "height", rng.uniform(0.001, 0.005)
    yield "air_gap", rng.uniform(0.0008, 0.004)


def _windings(rng: np.random.Generator, place: dict[str, Any]) -> Iterator[Layout]:
    """Windings there, fit or not to wind, each with its fill factor."""
    for _ in range(WINDINGS):
        outer, width = rng.uniform(0.035, 0.0545), rng.uniform(0.001, 0.006)
        topology = str(rng.choice(["wedge", "round", "racetrack"] + ["serpentine"] * (place["phases"] == 1)))
        turns = int(rng.uniform(0.3, 0.7) * width * place["height"] / place["wire"].overall_area)
        coils = {4: 6, 8: 6, 12: 9}[place["count"]] if place["phases"] == 3 else place["count"]
        if turns < 4:
            continue
        fill = turns * place["wire"].overall_area / (width * place["height"])
        try:
            yield lantern_layout(
                topology,
                **place,
                coils=None if topology == "serpentine" else coils,
                inner_radius=rng.uniform(0.015, outer - 0.012),
                outer_radius=outer,
                width=width,
                turns=turns,
                peg_radius=1e-4,
                fill_factor=fill,
            )
        except ValueError:
            continue  # a combination that is none
