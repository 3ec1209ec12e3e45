"""Magnets whose strength is not on the box: unknown grades, measured pulls; and what one costs."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from briefs import SMALL_BRIEF
from layouts import lantern_layout
from terminal import run

from geometry.files.reading import FileFaults
from geometry.machine.layout_file import layout_from_text, layout_text
from geometry.stock.magnet import DiscMagnet
from geometry.stock.pull import pull_on_steel
from optimizer.brief.brief import brief_from_text, brief_text
from optimizer.brief.goal import Prices
from optimizer.building.parts_list import parts_list
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.chain import evaluate, evaluation, figures_document
from optimizer.words.machine_words import machine_notes

GRADE = 'grade = "N42"\n'
UNKNOWN = SMALL_BRIEF.replace(GRADE, 'grade = "unknown"\n')
PULLED = SMALL_BRIEF.replace(GRADE, "pull_N = 40\n")
MYSTERY = DiscMagnet.of_grade(diameter=0.015, thickness=0.005, grade="unknown")


def told(text: str) -> str:
    with pytest.raises(FileFaults) as caught:
        brief_from_text(text, "b")
    return str(caught.value)


def test_an_unknown_grade_counts_as_the_weakest_neodymium() -> None:
    brief = brief_from_text(UNKNOWN, "b")
    assert brief.magnets[0].magnet == MYSTERY
    assert (MYSTERY.remanence, MYSTERY.remanence_band) == (1.17, (1.17, 1.48))
    assert brief_from_text(brief_text(brief), "b") == brief
    unknown, weakest = (
        evaluate(lantern_layout(magnet=DiscMagnet.of_grade(diameter=0.015, thickness=0.004, grade=grade)))
        for grade in ("unknown", "N35")
    )
    assert unknown.emf_rms_V == weakest.emf_rms_V
    low, high = unknown.emf_rms_V_band or (0, 0)
    strongest = replace(unknown.layout.carrier.magnet, grade=None, remanence=1.48)
    layout = replace(unknown.layout, carrier=replace(unknown.layout.carrier, magnet=strongest))
    assert (low, high) == pytest.approx((unknown.emf_rms_V, evaluate(layout).emf_rms_V))
    assert weakest.emf_rms_V_band is None
    assert "emf_rms_V_band" not in figures_document(weakest)
    assert figures_document(unknown)["emf_rms_V_band"] == pytest.approx([low, high])


def test_the_answer_says_what_would_settle_it() -> None:
    magnet = replace(MYSTERY, thickness=0.004)
    figures = evaluate(lantern_layout(magnet=magnet))
    (note,) = [text.replace("\u00a0", " ") for text in machine_notes(figures) if "unknown" in text]
    weak, strong = pull_on_steel(magnet), pull_on_steel(replace(magnet, remanence=1.48))
    assert f"what lifts one magnet off thick bare steel, {weak:.0f} N to {strong:.0f} N (pull_N)" in note
    assert "all figures count with 1.17 T" in note
    assert "test coil" in note


def test_a_pull_gives_the_remanence_and_its_band() -> None:
    brief = brief_from_text(PULLED, "b")
    magnet = brief.magnets[0].magnet
    assert magnet.pull == 40
    assert pull_on_steel(magnet) == pytest.approx(40, rel=1e-3)
    low, high = magnet.remanence_band or (0, 0)
    assert pull_on_steel(replace(magnet, remanence=low)) == pytest.approx(34, rel=1e-3)  # 15 % less
    assert pull_on_steel(replace(magnet, remanence=high)) == pytest.approx(46, rel=1e-3)
    assert brief_from_text(brief_text(brief), "b") == brief
    layout = lantern_layout(magnet=magnet)
    assert "pull_N = 40 " in layout_text(layout)
    assert layout_from_text(layout_text(layout), "l") == layout
    notes = " ".join(machine_notes(evaluate(layout))).replace("\u00a0", " ")
    assert f"{magnet.remanence:.3g} T follow from a pull of 40.0 N off thick steel" in notes


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (PULLED.replace("40", "400"), "magnets[1].pull_N: must be at most "),
        (PULLED.replace("40", "0.01"), "magnets[1].pull_N: must be at least "),
        (PULLED.replace("40", "0"), "magnets[1].pull_N: must be above 0, was 0"),
        (PULLED.replace("pull_N = 40", 'pull_N = 40\ngrade = "N42"'),
         "magnets[1].pull_N: must be left out when grade is given, was 40"),
        (PULLED.replace("pull_N = 40", "pull_N = 40\nremanence_T = 1.2"),
         "magnets[1].pull_N: must be left out when remanence_T is given, was 40"),
        (SMALL_BRIEF.replace(GRADE, "remanence_T = 1.2\n" + GRADE),
         "magnets[1].remanence_T: must be left out when grade is given, was 1.2"),
        (SMALL_BRIEF.replace(GRADE, ""), "magnets[1]: grade, remanence_T or pull_N must be given, was missing"),
        (SMALL_BRIEF.replace(GRADE, GRADE + "price = -1\n"), "magnets[1].price: must be at least 0, was -1"),
    ],
)  # fmt: skip
def test_a_wrong_strength(text: str, words: str) -> None:
    assert words in told(text)
    assert len(told(text).splitlines()) == 1


def test_a_pull_beyond_saturation_says_the_most_that_this_size_has() -> None:
    most = pull_on_steel(DiscMagnet(diameter=0.015, thickness=0.005, remanence=1.6))
    assert f"must be at most {most:.3g}, which a magnet of this size and 1.6 T has" in told(PULLED.replace("40", "400"))


def test_a_magnet_s_own_price_comes_before_that_of_any() -> None:
    brief = brief_from_text(SMALL_BRIEF.replace(GRADE, GRADE + "price = 0.8\n"), "b")
    assert brief.magnets[0].price == 0.8
    assert brief_from_text(brief_text(brief), "b") == brief
    card = winding_card(evaluation(lantern_layout(magnet=brief.magnets[0].magnet)))
    priced = replace(brief, prices=Prices(currency="crowns", magnet=0.5))
    (row,) = [row for row in parts_list(card, (), priced).rows if row.item == "magnets"]
    assert row.price == pytest.approx(8 * 0.8)
    free = replace(priced, magnets=(replace(brief.magnets[0], price=None),))
    (row,) = [row for row in parts_list(card, (), free).rows if row.item == "magnets"]
    assert row.price == pytest.approx(8 * 0.5)


def test_the_terminal_tells_the_range(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    layout = lantern_layout(magnet=replace(MYSTERY, thickness=0.004))
    (tmp_path / "l.toml").write_text(layout_text(layout), encoding="utf-8")
    code, out, _ = run(monkeypatch, capsys, "evaluate", tmp_path / "l.toml")
    assert code == 0
    assert "Strength" in out
    assert "the grade is unknown" in out
    code, out, _ = run(monkeypatch, capsys, "evaluate", tmp_path / "l.toml", "--json")
    low, high = json.loads(out)["emf_rms_V_band"]
    assert high / low == pytest.approx(1.48 / 1.17)
