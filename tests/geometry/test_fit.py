"""The closed-form fit rules: against shapely, and what a misfit says."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest
from layouts import lantern_layout
from random_layouts import clearances, layout_of, near_a_limit

from geometry.coils.topology import TOPOLOGIES
from geometry.fit.fit_words import RULES
from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.stock.magnet import DiscMagnet

LOT = 1250  # layouts; two lots make twenty-five hundred
SHAPES = tuple(TOPOLOGIES)
SHARP = 2e-6  # m; nearer to a limit than this the two may disagree
SECTION = "winding.turns"


@dataclass
class Tally:
    """How often the two judges agree, and where they don't."""

    fitting: int = 0
    close_calls: int = 0
    quarrels: list[str] = field(default_factory=list[str])
    tightest: Counter[str] = field(default_factory=Counter[str])

    def judge(self, rng: np.random.Generator, shape: str) -> None:
        """One random layout."""
        drawn = near_a_limit(rng, shape)
        layout, left = layout_of(drawn), clearances(drawn)
        rule = min(left, key=lambda name: float(left[name]))
        fits = not [violation for violation in violations(layout) if violation.key != SECTION]
        faults = overlaps(layout)
        self.fitting += fits
        self.tightest[rule] += 1
        if fits == bool(faults):
            if abs(left[rule]) < SHARP:
                self.close_calls += 1
            else:
                self.quarrels.append(f"{rule} leaves {float(left[rule]):.3g} m, shapely says {faults}: {layout}")


@pytest.mark.slow
@pytest.mark.parametrize("lot", range(2))
def test_closed_form_agrees_with_shapely(lot: int):
    rng, tally = np.random.default_rng([2024, lot]), Tally()
    for index in range(LOT):
        tally.judge(rng, SHAPES[index % len(SHAPES)])
    assert not tally.quarrels
    assert 0.4 * LOT < tally.fitting < 0.6 * LOT
    # shapely's judgement is blunt by a micrometre or two; a twentieth of the draws come that near a limit
    assert tally.close_calls < 0.05 * LOT
    assert (
        min(tally.tightest[rule] for rule in ("leg", "hole", "neighbour", "pocket_neighbour", "winding_rim"))
        > 10
    )


SMALL = DiscMagnet(diameter=0.01, thickness=0.004, remanence=1.3)
TIGHT = {"bore_diameter": 0.006, "inner_radius": 0.003, "width": 0.009, "peg_radius": 0.0001}
# the rule, changes of the lantern's layout that break it alone, its key, its limit and the value in mm, by hand
BROKEN = [
    ("pocket_neighbour", "wedge", {"pitch_radius": 0.025, "count": 10}, "carrier.count", 2, 0.4508),
    ("pocket_rim", "serpentine", {"pitch_radius": 0.047}, "carrier.pitch_radius_mm", 2, 0.5),
    ("pocket_bore", "serpentine", {"pitch_radius": 0.023, "count": 4}, "carrier.pitch_radius_mm", 2, 0.5),
    ("winding_bore", "serpentine", {"inner_radius": 0.0145}, "winding.inner_radius_mm", 15, 14.5),
    ("winding_rim", "wedge", {"outer_radius": 0.056}, "winding.outer_radius_mm", 55, 56),
    (
        "inner_turn",
        "serpentine",
        {"count": 16, "magnet": SMALL, "inner_radius": 0.0155, "width": 0.007},
        "winding.inner_radius_mm",
        0,
        -0.3178,
    ),
    ("between_bends", "serpentine", TIGHT, "winding.width_mm", 0, -0.5673),
    ("leg", "wedge", {"outer_radius": 0.0305}, "winding.outer_radius_mm", 0, -0.5),
    ("inner_core", "wedge", {"width": 0.012}, "winding.width_mm", 0, -0.6801),
    ("neighbour", "round", {"inner_radius": 0.02}, "winding.outer_radius_mm", 0, -1.6061),
    ("hole", "round", {"width": 0.0095}, "winding.width_mm", 0, -1.0),
]


@pytest.mark.parametrize(
    ("rule", "shape", "changes", "key", "limit", "value"), BROKEN, ids=[row[0] for row in BROKEN]
)
def test_one_rule_broken(
    rule: str, shape: str, changes: dict[str, Any], key: str, limit: float, value: float
):
    layout = lantern_layout(shape, **changes)
    (violation,) = violations(layout)
    assert violation.key == key
    assert violation.rule == RULES[rule].text
    assert (violation.limit, violation.unit) == (limit, "mm")
    assert violation.value == pytest.approx(value, abs=6e-5)
    assert violation.excess == pytest.approx(abs(value - limit), abs=6e-5)
    assert overlaps(layout)


def test_every_rule_has_its_test():
    assert [row[0] for row in BROKEN] == list(RULES)


def test_a_misfit_says_what_where_and_how_much():
    (violation,) = violations(lantern_layout(pitch_radius=0.047))
    assert str(violation) == (
        "carrier.pitch_radius_mm: the wall from magnet pocket to rim must be at least 2 mm, was 0.5 mm (1.5 mm off)"
    )


def test_all_misfits_at_once():
    found = violations(lantern_layout("wedge", pitch_radius=0.047, outer_radius=0.056, turns=500))
    assert [violation.key for violation in found] == [
        "carrier.pitch_radius_mm", "winding.outer_radius_mm", "winding.turns", "winding.turns",
    ]  # fmt: skip


def test_a_section_too_full():
    fill, cell = violations(lantern_layout(turns=500))
    # 500 circles of 0.281 mm in 20 mm²; 500 turns in 25 layers of 20 have 0.2 mm each
    assert str(fill) == (
        "winding.turns: the share of the bundle's section that insulated wire takes must be at most 0.6, "
        "was 1.5504 (0.95 off)"
    )
    assert (cell.limit, cell.value) == pytest.approx((0.281, 0.2))


@pytest.mark.parametrize("shape", SHAPES)
def test_touching_is_allowed(shape: str):
    """At the very limit of rim and bore, and of a pocket's wall, both judges say yes."""
    inner = 0.0328 if shape == "round" else 0.015
    layout = lantern_layout(shape, inner_radius=inner, outer_radius=0.055, pitch_radius=0.0455)
    assert not violations(layout)
    assert not overlaps(layout)


def test_the_lantern_fits():
    for shape in SHAPES:
        assert not violations(lantern_layout(shape))
        assert not overlaps(lantern_layout(shape))
