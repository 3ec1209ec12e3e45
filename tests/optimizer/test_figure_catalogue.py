"""One catalogue of a machine's figures: terminal, page, report and the pack's own report say the same of each."""

import json
import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from family import facing_wedges, nine_wedges, three_serpentines
from layouts import lantern_layout
from shown import report_of

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from optimizer.answers.preview import figure_rows
from optimizer.evaluation.chain import evaluate, figures_document
from optimizer.packs.build_pack import PackOptions, build_pack
from optimizer.search.result import Entry, Result
from optimizer.terminal.printed_results import result_lines
from optimizer.terminal.printed_words import figure_lines
from optimizer.words.figure_catalogue import CATALOGUE, machine_groups

LAYOUTS = {
    "lantern": lantern_layout(),
    "three phases": nine_wedges(),
    "bundles over each other": three_serpentines(),
    "facing": facing_wedges(),
    "thin steel": lantern_layout(plate=0.001),
    "unknown grade": lantern_layout(magnet=DiscMagnet.of_grade(diameter=0.015, thickness=0.004, grade="unknown")),
}


def spaced(text: str) -> str:
    """Plain spaces, one at a time."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ")).strip()


def told(layout: Layout) -> list[tuple[str, str, str]]:
    """Label, value and remark of every row of the catalogue."""
    groups = machine_groups(evaluate(layout))
    return [(spaced(row.label), spaced(row.value), spaced(row.remark)) for rows in groups.values() for row in rows]


def table(html: str) -> list[tuple[str, str, str]]:
    """The rows of three cells of a page's first table of figures."""
    (shown,) = re.findall(r'aria-label="Figures">(.*?)</table>', html, re.S)
    rows = re.findall(r'<tr><th scope="row">(.*?)</th><td>(.*?)</td><td>(.*?)</td></tr>', shown)
    return [(spaced(unescape(name)), spaced(unescape(value)), spaced(unescape(words))) for name, value, words in rows]


@pytest.mark.parametrize("name", LAYOUTS)
def test_terminal_page_and_reports_show_the_same_rows(name: str, small_result: Result):
    layout = LAYOUTS[name]
    figures = evaluate(layout)
    rows = told(layout)
    assert len(rows) > 20
    lines = [spaced(line) for line in figure_lines(figures) if line.startswith("  ")]
    assert lines == [spaced(" ".join(row)) for row in rows]
    page = [(row["name"], spaced(row["value"]), spaced(row["remark"])) for row in figure_rows(figures)]
    assert [row for row in page if row[0] != "Caution"] == rows
    result = replace(small_result, best=Entry(figures))
    assert table(report_of(result, {})) == rows
    printed = [spaced(line) for line in result_lines(result, 1.0, Path("out"), [])]
    assert [line for line in printed if line in lines] == lines


@pytest.mark.slow
@pytest.mark.parametrize("name", ["lantern", "facing"])
def test_the_pack_s_report_shows_them_too(name: str):
    files = build_pack(LAYOUTS[name], PackOptions()).files
    assert table(files["report.html"].decode()) == told(LAYOUTS[name])
    voltage = told(LAYOUTS[name])[0]
    assert f"- Voltage: {voltage[1]} {voltage[2]}" in spaced(files["README.md"].decode())


def test_every_entry_is_shown_of_some_machine_and_keys_are_those_of_the_json():
    entries = [entry for group in CATALOGUE.values() for entry in group]
    keys = [entry.key for entry in entries]
    assert len(keys) == len(set(keys))
    shown = {
        row.key
        for layout in LAYOUTS.values()
        for group in machine_groups(evaluate(layout)).values()
        for row in group
    }
    assert shown == set(keys)
    document = json.loads(json.dumps(figures_document(evaluate(LAYOUTS["facing"]))))
    assert {entry.key for entry in entries if entry.value is None} <= set(document) | {"wire_needed_m"}


def test_what_does_not_apply_is_not_shown():
    plain = {label for label, _, _ in told(LAYOUTS["lantern"])}
    assert not plain & {"Line voltage", "Phases", "Winding factor", "Attraction", "Steel", "Arrangement", "Bundles"}


def test_lengths_are_told_in_inches_or_feet():
    rows = {row["name"]: row for row in figure_rows(evaluate(LAYOUTS["lantern"]))}
    assert rows["Air gap"]["inch"] == "0.059\u00a0in"
    assert rows["Wire"]["inch"] == "53.1\u00a0ft of 9.84\u00a0mil"
    assert rows["Voltage"]["inch"] == ""
