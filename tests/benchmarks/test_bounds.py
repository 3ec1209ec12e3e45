"""Bounds at length: ten thousand windings against theirs, and certificates of whole briefs."""

from dataclasses import replace
from pathlib import Path
from time import process_time

import numpy as np
import pytest
from crowd import WINDINGS, shares_of_bounds

from optimizer.bounds.proof import prove
from optimizer.brief.brief import read_brief
from optimizer.search.search import optimize
from optimizer.words.result_tables import proof_words

PLACES = 400
LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


@pytest.mark.benchmark
def test_ten_thousand_windings_keep_within_their_bounds():
    shares = shares_of_bounds(PLACES, seed=11)
    print(f"\n{len(shares)} windings past {PLACES} machines' magnets: at most {max(shares):.1%} of their bounds,")
    print(f"half of them above {np.median(shares):.1%}")
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
