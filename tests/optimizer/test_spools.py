"""Wire in one piece each: what a brief says of it, that a search keeps each within its own length, and what is told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from briefs import SMALL_BRIEF
from layouts import lantern_layout
from terminal import run
from tiers import shared

from geometry.files.reading import FileFaults
from geometry.stock.wire import AWG, Wire
from optimizer.answers.forms import forms
from optimizer.answers.page_values import brief_of, flat_brief
from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.brief.goal import Prices
from optimizer.brief.wire_tables import Spool
from optimizer.building.parts_list import parts_list
from optimizer.building.winding_card import winding_card
from optimizer.documents.result_document import result_document
from optimizer.evaluation.chain import evaluation
from optimizer.search.feasibility import NothingFits
from optimizer.search.limits import limits_of
from optimizer.search.result import Result
from optimizer.search.search import optimize
from optimizer.words.machine_words import at_hand_words, spool_sentence
from optimizer.words.page_words import search_sentence
from optimizer.words.result_tables import limit_words

SPOOLS = """
[[spools]]
diameter_mm = 0.4
length_m = 12
[[spools]]
awg = 30
length_m = 40
price = 7.5
[[spools]]
awg = 30
mass_g = 40
enamel_grade = 2
"""
WIRE = "[wire]\ndiameters_mm = [0.25, 0.315]\nlength_m = 30\n"
ONLY = SMALL_BRIEF.replace(WIRE, "") + SPOOLS


def faults(text: str) -> str:
    with pytest.raises(FileFaults) as caught:
        brief_from_text(text, "b")
    return str(caught.value)


def test_a_brief_of_spools_needs_no_wire_table() -> None:
    brief = brief_from_text(ONLY, "b")
    thick, thin, heavy = Wire(diameter=0.4e-3), Wire(diameter=AWG[30]), Wire(diameter=AWG[30], grade=2)
    assert brief.spools[:2] == (Spool(wire=thick, length=12), Spool(wire=thin, length=40, price=7.5))
    assert brief.wires == (thick, thin, heavy)
    # 40 g of 0.2546 mm wire: π/4 · 0.2546² mm² · 8.89 g/cm³ is 0.4527 g of copper a metre, and its enamel
    assert brief.spools[2].length * heavy.mass_per_metre == pytest.approx(0.04)
    assert 80 < brief.spools[2].length < 40 / 0.4527
    assert (brief.length, brief.resistance, brief.sold) == (None, None, ())
    assert brief_from_text(brief_text(brief), "b") == brief


def test_spools_stand_beside_what_can_be_bought() -> None:
    brief = brief_from_text(SMALL_BRIEF + SPOOLS, "b")
    assert [wire.diameter_mm for wire in brief.sold] == [0.25, 0.315]
    assert brief.length_of(Wire(diameter=0.25e-3)) == 30
    assert brief.length_of(Wire(diameter=0.4e-3)) == 12
    assert brief_from_text(brief_text(brief), "b") == brief


def test_the_longest_of_equal_spools_limits_and_the_shortest_that_lasts_is_taken() -> None:
    wire = Wire(diameter=0.4e-3)
    brief = replace(
        brief_from_text(ONLY, "b"), wires=(wire,), spools=tuple(Spool(wire=wire, length=m) for m in (50, 20, 30))
    )
    assert brief.length_of(wire) == 50
    assert [brief.spool_for(wire, m) for m in (10, 20, 25, 50, 51)] == [2, 2, 3, 1, None]
    assert [each.key for each in limits_of(brief, wire)][-1] == "spools[1].length_m"
    assert [each.key for each in limits_of(brief)][-3:] == [f"spools[{n}].length_m" for n in (1, 2, 3)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (ONLY.replace("length_m = 12", "length_m = 0"), "spools[1].length_m: must be at least 0.1, was 0"),
        (ONLY.replace("mass_g = 40", "mass_g = 0"), "spools[3].mass_g: must be above 0, was 0"),
        (ONLY.replace("mass_g = 40", "mass_g = 40\nlength_m = 5"),
         "spools[3].mass_g: must be left out when length_m is given, was 40"),
        (ONLY.replace("length_m = 12", ""), "spools[1]: length_m or mass_g must be given, was missing"),
        (ONLY.replace("diameter_mm = 0.4", ""), "spools[1]: diameter_mm or awg must be given, was missing"),
        (ONLY.replace("diameter_mm = 0.4", "diameter_mm = 0.4\nawg = 26"),
         "spools[1].awg: must be left out when diameter_mm is given, was 26"),
        (SMALL_BRIEF + SPOOLS.replace("0.4", "0.315"),
         "spools: must hold no size that [wire] lists, which can be had in any length, was 0.315 mm in spools[1]"),
        (SMALL_BRIEF.replace("length_m = 30\n", "") + SPOOLS,
         "wire: length_m or resistance_ohm must be given, was missing"),
        (SMALL_BRIEF.replace(WIRE, ""), "b: wire.diameters_mm, wire.awg or [[spools]] must be given, was missing"),
    ],
)  # fmt: skip
def test_a_wrong_spool(text: str, told: str) -> None:
    assert told in faults(text)


@shared
def searched(text: str) -> Result:
    return optimize(brief_from_text(text, "b"))


@pytest.mark.search
def test_a_search_keeps_each_spool_within_its_length() -> None:
    """The same wires bought in the spool's lengths, one at a time, give no more and no less."""
    both = searched(ONLY)
    apart: list[float] = []
    for spool in brief_from_text(ONLY, "b").spools:
        brief: Brief = replace(brief_from_text(ONLY, "b"), wires=(spool.wire,), length=spool.length, spools=())
        apart.append(optimize(brief).best.figures.emf_rms_V)
    assert both.best.figures.emf_rms_V == max(apart)
    wire = both.best.layout.winding.wire
    needed = both.best.figures.wire_needed_m
    assert needed <= (both.brief.length_of(wire) or 0) + 1e-9


@pytest.mark.search
def test_the_answer_names_its_spool() -> None:
    result = searched(ONLY)
    brief, figures = result.brief, result.best.figures
    number = brief.spool_for(figures.layout.winding.wire, figures.wire_needed_m)
    assert number == 3  # the most of the thin wire
    told = spool_sentence(brief, figures).replace("\u00a0", " ")
    assert told.startswith("Wind it from spool 3 of the brief, 82.8 m of AWG 30 (0.255 mm): it takes")
    assert told in search_sentence(result).replace("\u00a0", " ")
    assert at_hand_words(brief, figures).startswith("spool 3 of the brief")
    document = result_document(result)["spool"]
    assert document["number"] == 3
    assert document["left_m"] == pytest.approx(document["length_m"] - figures.wire_needed_m, rel=1e-3, abs=1e-3)
    held = [limit_words(limit).replace("\u00a0", " ") for limit in result.limits if "spools" in limit.key]
    assert held == [f"{1.1 * brief.spools[2].length:.4g} m on spool 3 instead of {brief.spools[2].length:.4g} m"]


def test_the_parts_list_has_the_spool_at_its_own_price() -> None:
    card = winding_card(evaluation(lantern_layout(wire=Wire(diameter=0.4e-3), turns=12)))
    brief = brief_from_text(ONLY, "b")
    priced = replace(
        brief,
        spools=(Spool(wire=Wire(diameter=0.4e-3), length=50, price=7.5),),
        wires=(Wire(diameter=0.4e-3),),
        prices=Prices(currency="crowns", wire_per_m=1.0),
    )
    row = next(row for row in parts_list(card, (), priced).rows if row.item == "wire")
    assert (row.quantity, row.unit, row.price) == (1, "spool", 7.5)
    assert row.remark.startswith("spool 1 of the brief, 50 m; turns ")
    free = replace(priced, spools=(replace(priced.spools[0], price=None),))
    row = next(row for row in parts_list(card, (), free).rows if row.item == "wire")
    assert row.unit == "m"
    assert row.price == pytest.approx(row.quantity)
    assert row.remark.startswith("spool 1 of the brief")


def test_spools_too_short_for_a_turn_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    short = SMALL_BRIEF.replace(WIRE, "") + "[[spools]]\ndiameter_mm = 0.4\nlength_m = 0.3\n"
    with pytest.raises(NothingFits) as caught:
        optimize(brief_from_text(short, "b"))
    assert "the wire does not suffice for one turn" in str(caught.value)
    assert "spools[1].length_m: must be at least" in str(caught.value)
    (tmp_path / "b.toml").write_text(short, encoding="utf-8")
    code, out, err = run(monkeypatch, capsys, "optimize", tmp_path / "b.toml", "--out", tmp_path / "o", "--json")
    assert (code, out) == (3, "")
    assert "m, was 0.3 m" in err


def test_the_page_s_form_has_spools_and_its_values_make_them() -> None:
    brief = brief_from_text(SMALL_BRIEF + SPOOLS, "b")
    flat = flat_brief(brief)
    assert flat["spools.2.awg"] == "30"
    assert brief_of(flat) == brief
    fields = forms()["fields"]["brief"]
    groups = dict(forms()["groups"]["brief"])
    assert [fields[key]["label"] for key in groups["Spools at hand"]][3:] == [
        "Length, in one piece", "or mass, without the spool", "Price of the whole spool",
    ]  # fmt: skip
