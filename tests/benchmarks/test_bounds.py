"""Bounds at length: ten thousand windings against theirs, and certificates of whole briefs."""

from dataclasses import replace
from pathlib import Path
from time import process_time

import numpy as np
import pytest
from layouts import lantern_layout

from geometry.stock.wire import Wire
from optimizer.bounds.any_winding import Surroundings
from optimizer.bounds.proof import prove
from optimizer.brief.brief import read_brief
from optimizer.evaluation.copper import wire_length
from optimizer.field.emf import machine_emf
from optimizer.search.search import optimize
from optimizer.words.result_tables import proof_words

PLACES, WINDINGS = 400, 25
LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


def places(rng):
    """Magnets, gap, wire and height of a machine: what a bound is found for."""
    phases = int(rng.choice([1, 1, 3]))
    yield "phases", phases
    yield "count", int(rng.choice([4, 8, 12]))
    yield "pitch_radius", rng.uniform(0.03, 0.045)
    yield "arrangement", str(rng.choice(["single", "facing", "two-sided"]))
    yield "wire", Wire(diameter=float(rng.choice([0.2e-3, 0.25e-3, 0.4e-3])))
    yield "height", rng.uniform(0.001, 0.005)
    yield "air_gap", rng.uniform(0.0008, 0.004)


def windings(rng, place):
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


@pytest.mark.benchmark
def test_ten_thousand_windings_keep_within_their_bounds():
    rng, shares = np.random.default_rng(11), list[float]()
    for _ in range(PLACES):
        place = dict(places(rng))
        around = None
        for layout in windings(rng, place):
            length, fill = wire_length(layout), layout.winding.fill_factor
            if not np.isfinite(length) or length <= 0:
                continue
            if around is None:
                own, most = fill, length
                around = Surroundings(layout, most)
            bound = around.emf_rms(fill / own, length / most)
            shares.append(float(np.mean([wave.rms for wave in machine_emf(layout).phases])) / bound)
    print(
        f"\n{len(shares)} windings past {PLACES} machines' magnets: at most {max(shares):.1%} of their bounds,",
        end="",
    )
    print(f" half of them above {np.median(shares):.1%}")
    assert len(shares) > 0.8 * PLACES * WINDINGS
    assert max(shares) < 1.0


@pytest.mark.benchmark
@pytest.mark.parametrize("goal", ["emf_rms", "power"])
def test_the_lantern_is_proven(goal):
    brief = replace(read_brief(LANTERN), goal=goal)
    best = optimize(brief).best.figures
    begun = process_time()
    proof = prove(brief)
    print(
        f"\n{proof.looks} looks, {process_time() - begun:.0f} s of processor time. {proof_words(proof, best)}"
    )
    assert (best.emf_rms_V if goal == "emf_rms" else best.matched_power_W) < proof.value
