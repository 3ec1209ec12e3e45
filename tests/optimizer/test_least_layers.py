"""Bundles that hands can wind: so many wires high and wide at least, in each half where phases interleave."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from drawn import varied
from searches import searched
from shown import plots_of, report_of

from geometry.coils.bundle import cell_clearance, max_turns
from geometry.fit.rules import violations
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, brief_from_text, brief_text, read_brief
from optimizer.scan.choices import layout_of
from optimizer.scan.scan import scan
from optimizer.search.baseline import textbook
from optimizer.search.feasibility import explain
from optimizer.search.neighbours import fits_brief
from optimizer.search.refine import Finals, by_family
from optimizer.search.result import Result
from optimizer.search.search import optimize
from optimizer.search.sensitivity import relaxations
from optimizer.terminal.printed_results import result_lines

pytestmark = pytest.mark.search

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


def ribbon(**changes: object) -> Brief:
    """Sixteen magnets, three interleaved serpentines alone: a loose ribbon had the most volts."""
    return varied(read_brief(LANTERN), topologies=("serpentine",), phases=(3,), **changes)


@pytest.fixture(scope="module")
def interleaved() -> Result:
    return searched(ribbon())


def layers(layout) -> float:
    """Wires that fit over one another and side by side in each piece, the fewer of the two."""
    winding = layout.winding
    return min(winding.width, winding.height / layout.pieces) / winding.wire.overall_diameter


def test_no_half_bundle_is_thinner_than_asked(interleaved: Result) -> None:
    entries = (*interleaved.by_magnet_count, *interleaved.by_topology, interleaved.best)
    assert min(layers(entry.layout) for entry in entries) >= 3 - 1e-6
    for move in interleaved.moves:
        if move.variable == "height_mm" and move.moved < move.was - 0.05:
            assert not move.fits
    thinner = next(limit for limit in interleaved.limits if limit.key == "coil.least_layers")
    assert thinner.binds
    assert (thinner.was, thinner.relaxed) == (3, 2)


def test_fewer_layers_can_be_asked_for(interleaved: Result) -> None:
    start = scan(ribbon(least_layers=1)).starts[0]
    flat = layout_of(ribbon(), start)
    assert layers(flat) < 3
    assert not violations(flat)  # of the search, not of a layout
    assert not fits_brief(ribbon(), flat)
    assert fits_brief(ribbon(least_layers=1), flat)
    assert start.value > interleaved.scan_best


@pytest.mark.parametrize("minimum", [2, 5])
def test_scan_and_textbook_keep_it(minimum: int) -> None:
    for brief in (varied(read_brief(LANTERN), least_layers=minimum), ribbon(least_layers=min(minimum, 3))):
        for start in scan(brief).starts[::20]:
            layout = layout_of(brief, start)
            assert layers(layout) >= brief.least_layers - 1e-6
            assert not violations(layout)
        naive = textbook(brief)
        assert naive is not None
        assert layers(naive.entry.layout) >= brief.least_layers - 1e-6


def test_a_winding_too_low_for_it_is_told() -> None:
    (reason,) = explain(ribbon(coil_height=3e-3))
    changes = {change.key: change.needed for change in reason.changes}
    # six half bundles, of three wires of 0.226 mm each: 4.07 mm; or of two: 2.71 mm
    assert changes["space.coil_height_mm"] == pytest.approx(4.07, abs=0.005)
    assert changes["coil.least_layers"] == 2


def test_turns_of_a_bundle_in_halves_are_counted_in_each_half() -> None:
    wire = Wire(diameter=0.4e-3)
    for height in (1.0e-3, 1.6e-3, 2.7e-3):
        turns = int(max_turns(5e-3, height, wire, 0.9, 2))
        assert turns == 0 or cell_clearance(turns, 5e-3, height, wire, 2) >= -1e-12
        assert turns == 2 * int(max_turns(5e-3, height / 2, wire, 0.9)) or turns % 2
    assert max_turns(5e-3, 1.6e-3, wire, 0.9) > max_turns(5e-3, 1.6e-3, wire, 0.9, 2)


def test_one_and_three_serpentines_side_by_side(tmp_path: Path) -> None:
    brief = replace(ribbon(goal="power"), phases=(1, 3), wires=(Wire(diameter=0.2e-3), Wire(diameter=0.4e-3)))
    brief = replace(brief, magnets=(replace(brief.magnets[0], quantity=4),))
    found = optimize(brief)
    assert [entry.layout.phases for entry in found.by_phases] == [1, 3]
    assert found.by_topology
    assert "3 phases" in report_of(found, plots_of(found)).replace("\u00a0", " ")
    assert result_lines(found, 1.0, tmp_path, [])


def test_where_all_of_a_family_fall_the_next_is_tried(small_brief: Brief) -> None:
    families = by_family(scan(small_brief).starts)
    ranked = [*families.values()]
    found = Finals(small_brief, ends={family: [] for family in [*families][:3]}).best_of(ranked)
    assert found is not None
    assert Finals(small_brief, ends={family: [] for family in families}).best_of(ranked) is None


def test_the_brief_keeps_it() -> None:
    brief = varied(read_brief(LANTERN), least_layers=5)
    assert brief_from_text(brief_text(brief), "brief") == brief
    assert read_brief(LANTERN).least_layers == 3
    assert {step.key: step.relaxed for step in relaxations(brief)}["coil.least_layers"] == 4
