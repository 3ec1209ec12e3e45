"""The spool holds ends, joints and spare too: whatever a search hands over can be wound from the wire at hand."""

from __future__ import annotations

import csv
from dataclasses import replace

import pytest
from family import FAMILY
from searches import searched_for_load

from optimizer.brief.brief import Brief, brief_from_text
from optimizer.building.pack_parts import PackOptions
from optimizer.circuit.loads import BridgeResistor
from optimizer.evaluation.chain import evaluate, figures_document
from optimizer.loads.load_target import LoadTarget
from optimizer.packs.build_pack import build_pack
from optimizer.packs.result_files import ShownResult
from optimizer.scan.choices import layout_of
from optimizer.scan.scan import scan
from optimizer.search.feasibility import explain
from optimizer.search.result import Result
from optimizer.terminal.printed_words import figure_lines


def needed(layout) -> float:
    """Turns, ends of 0.2 m, joints and 2 % of all, m, for one coil after another around, as the card tells it."""
    figures = evaluate(layout)
    axes = layout.order.axes
    between = axes[1] - axes[0] if len(axes) > 1 else 0.0
    joints = figures.layout.coils - figures.layout.phases
    ends = figures.layout.phases * 0.4 + joints * (layout.winding.outer_radius * between + 0.08)
    return (figures.wire_length_m + ends) * 1.02


def test_every_machine_of_the_answer_can_be_wound_from_the_spool(small_result: Result) -> None:
    at_hand = small_result.brief.length
    assert at_hand is not None
    entries = (*small_result.by_magnet_count, *small_result.by_topology, small_result.best)
    for entry in entries:
        assert needed(entry.layout) <= at_hand * (1 + 1e-9)
        assert entry.figures.wire_needed_m == pytest.approx(needed(entry.layout))
    assert small_result.textbook is not None
    assert needed(small_result.textbook.entry.layout) <= at_hand * (1 + 1e-9)
    # and no more is kept than that: one turn more of every coil would not fit
    best = small_result.best
    assert needed(best.layout) + 1.02 * best.figures.wire_length_m / best.layout.winding.turns > at_hand


def test_the_scan_keeps_it_too(small_brief: Brief) -> None:
    for brief in (small_brief, replace(small_brief, phases=(3,), topologies=("wedge",), length=12.0)):
        start = scan(brief).starts[0]
        layout = layout_of(brief, start)
        figures = evaluate(layout)
        assert figures.wire_needed_m <= (brief.length or 0) * (1 + 1e-9)


@pytest.mark.search
def test_a_load_is_searched_for_with_the_same_spool(small_brief: Brief) -> None:
    target = LoadTarget(kind="load_power", load=BridgeResistor(ohms=5.0, drop=0.35))
    stock = (replace(small_brief.magnets[0], quantity=4),)
    brief = replace(small_brief, topologies=("wedge",), magnets=stock, wires=small_brief.wires[:1])
    answer = searched_for_load(brief, target)
    assert answer.result.best.figures.wire_needed_m <= (brief.length or 0) * (1 + 1e-9)


@pytest.mark.slow
def test_the_list_of_parts_asks_for_no_more_than_the_spool(small_result: Result) -> None:
    pack = build_pack(small_result.best.layout, PackOptions(), shown=ShownResult.of(small_result))
    rows = csv.DictReader(pack.files["parts.csv"].decode().splitlines())
    row = next(row for row in rows if row["item"] == "wire")
    assert float(row["quantity"]) <= (small_result.brief.length or 0)
    assert "2 % spare" in row["remark"]
    assert not any("short" in warning for warning in pack.warnings)


@pytest.mark.parametrize("name", sorted(FAMILY))
def test_figures_say_what_is_kept(name: str) -> None:
    layout = FAMILY[name]
    figures = evaluate(layout)
    shown = figures_document(figures)
    assert shown["wire_spare_m"] == pytest.approx(0.02 * (shown["wire_length_m"] + shown["wire_ends_m"]))
    words = "\n".join(figure_lines(figures))
    assert "to spare" in words
    assert "in the turns" in words


def test_a_spool_too_short_for_the_ends_is_refused_with_the_length_that_does() -> None:
    text = """
[space]
outer_diameter_mm = 110
bore_diameter_mm = 30
[speed]
rpm = 400
[[magnets]]
diameter_mm = 15
thickness_mm = 4
grade = "N42"
[wire]
diameters_mm = [0.25]
length_m = 0.3
[coil]
topologies = ["serpentine"]
"""
    (reason,) = explain(brief_from_text(text, "brief"))
    change = next(change for change in reason.changes if change.key == "wire.length_m")
    assert change.needed > 0.4 * 1.02  # two ends of 0.2 m, before a single turn
