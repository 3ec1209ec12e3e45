"""What widening a limit brings is what a search within the wider limit finds."""

from dataclasses import replace
from pathlib import Path

import pytest
from drawn import varied

from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet, read_brief
from optimizer.brief.goal import GOALS
from optimizer.scan.scan import scan
from optimizer.search.refine import best_of
from optimizer.search.result import Entry
from optimizer.search.sensitivity import limit_gains, relaxations
from optimizer.words.result_tables import limit_words

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"
DISC = DiscMagnet.of_grade(diameter=20e-3, thickness=5e-3, grade="N42")


@pytest.fixture(scope="module")
def crowded() -> Brief:
    """Six magnets fit, and with a little more room eight."""
    return varied(
        read_brief(LANTERN), outer_diameter=90e-3, bore_diameter=10e-3, wall=4e-3,
        magnets=(StockMagnet(magnet=DISC, quantity=None),), wires=(Wire(diameter=0.4e-3),), length=None,
        resistance=10.0, topologies=("wedge",),
    )  # fmt: skip


def searched(brief: Brief) -> Entry:
    found = best_of(brief, scan(brief).starts)
    assert found is not None
    return found


@pytest.mark.search
def test_a_limit_that_keeps_two_magnets_out_is_named(crowded: Brief):
    best = searched(crowded)
    assert best.layout.carrier.count == 6
    gains = {row.key: row for row in limit_gains(crowded, best.layout)}
    steps = {step.key: step.brief for step in relaxations(crowded)}
    value = GOALS[crowded.goal].value
    for key in ("space.outer_diameter_mm", "space.wall_mm"):
        wider = searched(steps[key])
        assert gains[key].magnets == wider.layout.carrier.count == 8
        assert gains[key].binds
        assert gains[key].gain == pytest.approx(value(wider.figures) / value(best.figures) - 1, abs=0.02)
        assert limit_words(gains[key]).endswith(", for 8 magnets")
    assert gains["wire.resistance_ohm"].magnets is None


@pytest.mark.search
def test_two_more_magnets_are_asked_for_only_where_there_is_room(crowded: Brief):
    six = replace(crowded, magnets=(StockMagnet(magnet=DISC, quantity=6),))
    keys = [row.key for row in limit_gains(six, searched(six).layout)]
    assert "magnets[1].quantity" not in keys
