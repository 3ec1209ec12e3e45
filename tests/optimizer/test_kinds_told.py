"""Tables and plots of a search tell kinds of magnet apart, and say what the load of a search for one gets of each."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from searches import searched, searched_for_load
from shown import plots_of, report_of

from geometry.stock.magnet import DiscMagnet
from optimizer.brief.brief import Brief, StockMagnet
from optimizer.circuit.loads import BridgeResistor
from optimizer.documents.result_document import contract
from optimizer.loads.load_target import LoadTarget
from optimizer.search.load_search import target_value
from optimizer.search.result import Result
from optimizer.terminal.printed_results import answer_lines, result_lines
from optimizer.words.result_tables import count_rows, textbook_rows

pytestmark = pytest.mark.search


@pytest.fixture(scope="module")
def mixed(small_brief: Brief) -> Result:
    """Few large magnets, more small ones."""
    small = DiscMagnet.of_grade(diameter=0.008, thickness=0.003, grade="N42")
    few = DiscMagnet.of_grade(diameter=0.015, thickness=0.005, grade="N35")
    stock = (StockMagnet(magnet=small, quantity=8), StockMagnet(magnet=few, quantity=4))
    return searched(replace(small_brief, magnets=stock, topologies=("wedge",)))


def test_kinds_are_marked_in_text_table_and_plot(mixed: Result, tmp_path: Path) -> None:
    kinds = {entry.layout.carrier.count: entry.layout.carrier.magnet.label for entry in mixed.by_magnet_count}
    assert len(set(kinds.values())) == 2
    marks = {count: "A" if "8 ×" in label else "B" for count, label in kinds.items()}
    text = "\n".join(result_lines(mixed, 1.0, tmp_path, []))
    for row, (count, mark) in zip(count_rows(mixed), sorted(marks.items()), strict=True):
        assert row.magnets.startswith(f"{mark}:")
        assert re.search(rf"^  {count} .*  {mark}: {re.escape(kinds[count])}.*  wedge, ", text, re.M)
    upper, lower = plots_of(mixed)["emf_by_magnet_count"].axes[:2]
    assert [label.get_text() for label in upper.get_xticklabels()] == [
        f"{count}\n{mark}" for count, mark in sorted(marks.items())
    ]
    assert "A: " in lower.get_xlabel()
    assert "B: " in lower.get_xlabel()


def test_one_kind_needs_no_mark(small_result: Result) -> None:
    assert not any(":" in row.magnets for row in count_rows(small_result))


def test_the_textbook_says_that_its_magnets_are_others(mixed: Result, small_result: Result) -> None:
    other = next(e for e in mixed.by_magnet_count if e.layout.carrier.magnet != mixed.brief.magnets[0].magnet)
    words = textbook_rows(replace(mixed, best=other))
    assert words is not None
    assert "Their magnets differ" in words.verdict
    ticks = plots_of(replace(mixed, best=other))["textbook"].axes[0].get_xticklabels()
    assert "8 × 3 mm" in ticks[1].get_text().replace("\u00a0", " ")
    assert "15 × 5 mm" in ticks[2].get_text().replace("\u00a0", " ")
    alike = textbook_rows(small_result)
    assert alike is not None
    assert "differ" not in alike.verdict


def test_watts_of_the_load_stand_in_every_table(small_brief: Brief, tmp_path: Path) -> None:
    target = LoadTarget(kind="load_power", load=BridgeResistor(ohms=5.0, drop=0.35))
    stock = (replace(small_brief.magnets[0], quantity=4),)
    brief = replace(small_brief, topologies=("wedge",), magnets=stock, wires=small_brief.wires[:1])
    answer = searched_for_load(brief, target)
    result = answer.result
    for entry in (*result.by_magnet_count, *result.by_topology, result.best):
        assert entry.load_watts == pytest.approx(target_value(entry.layout, target))
    printed = contract(result, 0.0)
    assert printed["best"]["load_W"] == pytest.approx(answer.verdict.watts, rel=1e-5)
    assert all(row["load_W"] > 0 for row in printed["by_magnet_count"])
    lines = result_lines(result, 1.0, tmp_path, [])
    assert sum("  load " in line for line in lines) == len(result.by_magnet_count) + len(result.by_topology)
    page = report_of(result, {})
    assert page.count("Layouts are compared by") == 1
    assert page.count('<th scope="col" class="n">Load</th>') == 2
    told = "\n".join([*answer_lines(answer), *lines])
    assert told.count("Layouts are compared by") == 1
