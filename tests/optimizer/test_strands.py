"""Several wires in hand: what they are to a turn, and what search, card and parts list make of them."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from briefs import SMALL_BRIEF
from hypothesis import given
from hypothesis import strategies as st
from layouts import lantern_layout
from tiers import shared

from geometry.coils.bundle import cell_clearance, layer_count, max_turns, turn_positions
from geometry.curves.curve import curve_length
from geometry.drawing.layout_drawing import draw_layout
from geometry.files.reading import FileFaults
from geometry.fit.rules import violations
from geometry.machine.filaments import phase_filaments
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from geometry.stock.wire import CONDUCTIVITY, Wire
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.brief.brief import brief_from_text, brief_text
from optimizer.building.parts_list import parts_list
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.chain import evaluate, evaluation, figures_document
from optimizer.evaluation.copper import eddy_coefficient
from optimizer.reports.report import card_html
from optimizer.search.result import Result
from optimizer.search.search import optimize

PAIR = Wire(diameter=0.25e-3, strands=2)


def paired(strands: int = 2, turns: int = 20) -> Layout:
    return lantern_layout(wire=Wire(diameter=0.25e-3, strands=strands), turns=turns)


def test_strands_share_the_current() -> None:
    one = PAIR.strand
    assert one == Wire(diameter=0.25e-3)
    assert PAIR.copper_area == 2 * one.copper_area
    assert PAIR.overall_area == 2 * one.overall_area
    assert PAIR.resistance_per_metre == pytest.approx(one.resistance_per_metre / 2)
    assert PAIR.resistance_band == pytest.approx([ohms / 2 for ohms in one.resistance_band])
    assert (PAIR.mass_per_metre, PAIR.overall_diameter) == (one.mass_per_metre, one.overall_diameter)
    assert (wire_size(PAIR), wire_mm(PAIR)) == ("2 × 0.25 mm", "2 × 0.25")
    with pytest.raises(ValueError, match="strands must be at least 1, was 0"):
        Wire(diameter=0.25e-3, strands=0)


@given(st.integers(1, 200), st.floats(1e-3, 2e-2), st.floats(1e-3, 1e-2), st.integers(1, 5))
def test_strands_lie_side_by_side_in_their_layer(turns: int, width: float, height: float, strands: int) -> None:
    """By hand: the fullest layer holds all strands of its turns across, the layers share the height."""
    wire = Wire(diameter=0.25e-3, strands=strands)
    offsets, levels = turn_positions(turns, width, height, strands)
    layers = np.unique(np.round(levels, 12))
    fullest = max(np.count_nonzero(np.isclose(levels, level)) for level in layers)
    room = min(width / (strands * fullest), height / len(layers))
    assert cell_clearance(turns, width, height, wire) == pytest.approx(room - wire.overall_diameter, abs=1e-12)
    assert np.abs(offsets).max() <= width / 2
    assert len(layers) == layer_count(turns, width, height, strands)


@given(st.floats(1e-3, 2e-2), st.floats(1e-3, 1e-2), st.integers(1, 5))
def test_a_section_takes_no_more_than_it_holds(width: float, height: float, strands: int) -> None:
    wire = Wire(diameter=0.25e-3, strands=strands)
    turns = int(max_turns(width, height, wire, 0.6))
    assert turns * wire.overall_area <= 0.6 * width * height * (1 + 1e-8)
    assert turns == 0 or cell_clearance(turns, width, height, wire) >= -1e-9
    assert turns <= max_turns(width, height, wire.strand, 0.6) / strands


def test_ohms_metres_and_grams_by_hand() -> None:
    """Along the filaments: the turns' centre lines, all strands side by side."""
    layout = paired()
    metres = sum(float(curve_length(filament.curve)) for filament in phase_filaments(layout))
    figures = evaluate(layout)
    section = pi / 4 * 0.25e-3**2
    assert figures.resistance_ohm == pytest.approx(metres / (CONDUCTIVITY * 2 * section), rel=1e-6)
    assert figures.wire_length_m == pytest.approx(2 * metres, rel=1e-6)
    assert figures.copper_mass_g == pytest.approx(2 * metres * section * 8890e3, rel=1e-6)
    single = evaluate(replace(layout, winding=replace(layout.winding, wire=PAIR.strand)))
    assert figures.wire_ends_m == pytest.approx(2 * single.wire_ends_m)
    assert figures.fill_factor == pytest.approx(2 * single.fill_factor)
    assert figures.emf_rms_V == pytest.approx(single.emf_rms_V, rel=1e-2)  # so few turns lie in other layers
    assert figures_document(figures)["strands"] == 2


def test_as_much_copper_in_two_strands_halves_the_eddy_loss() -> None:
    one, two = paired(1), paired(2)
    thick = replace(one, winding=replace(one.winding, wire=Wire(diameter=0.25e-3 * sqrt(2))))
    assert two.winding.wire.copper_area == pytest.approx(thick.winding.wire.copper_area)
    assert eddy_coefficient(two) == pytest.approx(eddy_coefficient(thick) / 2, rel=2e-3)
    assert eddy_coefficient(two) == pytest.approx(2 * eddy_coefficient(one), rel=2e-3)


def test_more_strands_than_there_is_room_for_are_refused() -> None:
    assert violations(paired(2)) == ()
    crowded = violations(paired(20))
    assert [violation.key for violation in crowded] == ["winding.turns", "winding.turns"]


def test_files_keep_strands() -> None:
    text = layout_text(paired())
    assert "strands = 2  " in text
    assert layout_from_text(text, "l") == paired()
    assert "strands" not in layout_text(paired(1))
    with pytest.raises(FileFaults) as caught:
        layout_from_text(text.replace("strands = 2", "strands = 0"), "l")
    assert str(caught.value).endswith("winding.wire.strands: must be a whole number of at least 1, was 0")
    brief = brief_from_text(SMALL_BRIEF.replace("length_m = 30", "length_m = 30\nstrands = [1, 3]"), "b")
    assert [(wire.diameter_mm, wire.strands) for wire in brief.wires] == [(0.25, 1), (0.25, 3), (0.315, 1), (0.315, 3)]
    assert brief_from_text(brief_text(brief), "b") == brief
    with pytest.raises(FileFaults) as caught:
        brief_from_text(SMALL_BRIEF.replace("length_m = 30", "length_m = 30\nstrands = [0]"), "b")
    assert str(caught.value).endswith("wire.strands[1]: must be a whole number of at least 1, was 0")
    with pytest.raises(ValueError, match="must come in the same numbers of strands"):
        brief_text(replace(brief, wires=brief.wires[:3]))


@shared
def searched(text: str) -> Result:
    return optimize(brief_from_text(text, "b"))


@pytest.mark.search
def test_a_search_lays_wires_together_where_ohms_call_for_thick_ones() -> None:
    """Of thin wire alone, within few ohms, strands let more turns in; the answer keeps length and ohms."""
    thin = SMALL_BRIEF.replace("[0.25, 0.315]", "[0.2]").replace("length_m = 30", "length_m = 90\nresistance_ohm = 4")
    one, more = searched(thin), searched(thin.replace("length_m", "strands = [1, 2, 3]\nlength_m"))
    assert more.best.figures.emf_rms_V > 1.2 * one.best.figures.emf_rms_V
    wire = more.best.layout.winding.wire
    assert wire.strands > 1
    assert more.best.figures.resistance_ohm <= 4
    assert more.best.figures.wire_needed_m <= 90 * (1 + 1e-9)
    alone = searched(thin.replace("length_m", f"strands = [{wire.strands}]\nlength_m"))
    assert alone.best.layout == more.best.layout


def test_card_and_parts_list_say_how_many_together() -> None:
    card = winding_card(evaluation(paired()))
    shown = card_html("Lantern", (draw_layout(paired()),), card).replace("\u00a0", " ")
    assert "enamelled copper, 2 × 0.25 mm bare" in shown
    assert "each of two wires together" in shown
    assert "<strong>Wind two wires together</strong>" in shown
    assert card.wire_length == pytest.approx(
        2 * winding_card(evaluation(paired(1))).wire_length, rel=5e-3
    )  # turns lie in other layers
    row = next(row for row in parts_list(card, ()).rows if row.item == "wire")
    assert row.description == "enamelled copper, round, 0.25 mm bare, grade 1; two wires together"
    assert row.quantity == pytest.approx(card.spool_length, abs=0.11)
    assert row.mass == pytest.approx((row.quantity or 0) * PAIR.mass_per_metre)
    assert sum(map(sum, card.layers)) == 20
    plain = card_html("Lantern", (draw_layout(paired(1)),), winding_card(evaluation(paired(1))))
    assert "wires together" not in plain
