"""Words, numbers and cautions of a report, without its page."""

from dataclasses import replace
from pathlib import Path

import pytest
from family import facing_wedges, nine_wedges, three_serpentines
from layouts import lantern_layout
from shown import plots_of, report_of

from geometry.stock.magnet import DiscMagnet
from optimizer.documents.result_document import contract
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import attraction
from optimizer.field.pole_harmonics import axial_field
from optimizer.loads.hazards import field_reach, safe_distance
from optimizer.search.result import Entry, LimitGain
from optimizer.terminal.printed_results import result_lines
from optimizer.terminal.printed_words import figure_lines
from optimizer.words.caution_words import cautions
from optimizer.words.figure_catalogue import machine_groups
from optimizer.words.result_tables import limit_words, move_verdict, phase_rows, phase_verdict
from optimizer.words.wording import (
    compared,
    difference,
    many,
    number,
    percent,
    quantity,
    signed_percent,
    size_mm,
)


def test_move_verdict_is_honest(small_result):
    assert "every one of these gives less" in move_verdict(small_result)
    better = replace(small_result.moves[0], fits=True, change=0.05)
    assert "the best of these gives +5.0\u00a0%" in move_verdict(replace(small_result, moves=(better,)))


def test_limit_words_for_more_magnets():
    limit = LimitGain(key="magnets[2].quantity", unit="", was=8, relaxed=10, gain=0.1, binds=True)
    assert limit_words(limit) == "10 magnets at hand instead of 8"


def test_implant_distance_of_a_known_magnet():
    magnet = DiscMagnet(diameter=0.020, thickness=0.005, remanence=1.32, recoil_permeability=1.0)
    reach = field_reach(magnet)
    assert reach == pytest.approx(0.0871, abs=5e-5)
    assert axial_field(magnet, 0.0, reach - magnet.thickness / 2) == pytest.approx(0.5e-3, rel=0.03)


def test_safe_distance_covers_all_magnets_together():
    assert safe_distance(lantern_layout()) == 0.3
    large = lantern_layout(magnet=DiscMagnet.of_grade(diameter=0.06, thickness=0.02, grade="N52"))
    assert safe_distance(large) >= field_reach(large.carrier.magnet, 8) > 0.5
    keep = next(iter(cautions(evaluate(large)))).text.replace("\u00a0", " ")
    assert keep.startswith(f"Keep at least {safe_distance(large):.1f} m from pacemakers")


def test_cautions_hold_the_machines_numbers():
    layout = lantern_layout()
    figures = evaluate(layout)
    found = {caution.title: caution.text.replace("\u00a0", " ") for caution in cautions(figures)}
    assert "At 400 rpm the rim moves at 2.30 m/s" in found["A spinning disc throws things"]
    speed = 400 * 42.4 / figures.emf_peak_V
    assert f"at {number(speed)} rpm" in found["Many turns make high voltages"]
    assert f"{number(5 * figures.emf_peak_V)} V peak at 5 times" in found["Many turns make high voltages"]
    assert "above 80 °C" in found["Windings get hot"]
    everything = " ".join(found.values())
    for word in ("pacemakers", "eye protection", "guard", "charge controller", "Local codes", "licensed"):
        assert word in everything


def test_a_machine_above_the_touch_limit_says_so():
    layout = lantern_layout(speed_rpm=20000.0)
    text = " ".join(caution.text for caution in cautions(evaluate(layout)))
    assert "at its own speed already" in text


@pytest.mark.parametrize(
    ("value", "words"),
    [(9.2221, "9.22"), (59.986, "60.0"), (1234.5, "1230"), (0.0041234, "0.00412"), (-1.3802, "−1.38"),
     (0, "0"), (9.999, "10.0"), (123.4, "123"), (float("nan"), "–")],
)  # fmt: skip
def test_numbers_have_three_digits(value, words):
    assert number(value) == words


def test_words_for_sizes_shares_and_differences():
    assert size_mm(45.370000001) == "45.37\u00a0mm"
    assert [percent(x) for x in (0.0819, 0.281, 0.0012, 0.00001)] == [
        "8.2\u00a0%", "28\u00a0%", "0.12\u00a0%", "below\u00a00.01\u00a0%",
    ]  # fmt: skip
    assert [signed_percent(x) for x in (0.0819, -0.014, 0.0)] == ["+8.2\u00a0%", "−1.4\u00a0%", "0\u00a0%"]
    assert difference(1.72, 1.0) == "72\u00a0% more"
    assert compared(1.0, 1.0, "EMF", "the other") == "as much EMF as the other"
    assert compared(0.5, 1.0, "EMF", "the other") == "50\u00a0% less EMF than the other"
    assert [many(x) for x in (15_865_059, 12_300)] == ["15.9\u00a0million", "12\u00a0300"]


@pytest.mark.search
def test_phases_are_compared_when_both_were_tried(small_result):
    """The verdict's numbers are those of the two machines."""
    one, three = lantern_layout("wedge"), nine_wedges()
    found = tuple(Entry(evaluate(layout)) for layout in (one, three))
    result = replace(small_result, by_phases=found)
    single, triple = (entry.figures for entry in found)
    verdict = phase_verdict(result)
    assert quantity(triple.emf_line_rms_V, "V") in verdict
    assert difference(triple.emf_rms_V, single.emf_rms_V) in verdict
    assert difference(triple.matched_power_W, single.matched_power_W) in verdict
    assert [row.name for row in phase_rows(result)] == ["1\u00a0phase", "3\u00a0phases"]
    assert "One phase or three" in report_of(result, plots_of(result))
    assert "by number of phases" in "\n".join(result_lines(result, 1.0, Path("out"), []))
    assert [row["phases"] for row in contract(result, 0.0)["by_phases"]] == [1, 3]
    assert phase_verdict(small_result) == ""
    assert "by_phases" not in contract(small_result, 0.0)
    assert "One phase or three" not in report_of(small_result, plots_of(small_result))


def test_cautions_of_facing_carriers_and_steel():
    """The pull's own number, all magnets of both carriers, and how to bring them together."""
    layout = facing_wedges()
    pull = attraction(layout)
    assert pull is not None
    told = {caution.title: caution.text for caution in cautions(evaluate(layout))}
    assert quantity(pull, "N") in told["The carriers pull at each other"]
    assert "all 16 aligned" in told["Strong magnets and implants"]
    assert "Steel draws magnets" in told
    plain = lantern_layout()
    titles = {caution.title for caution in cautions(evaluate(plain))}
    assert not titles & {"The carriers pull at each other", "Steel draws magnets"}


@pytest.mark.parametrize("layout", [nine_wedges(), facing_wedges(), three_serpentines()])
def test_tables_and_lines_tell_phases_and_arrangement(layout):
    figures = evaluate(layout)
    rows = {row.label: row for group in machine_groups(figures).values() for row in group}
    lines = "\n".join(figure_lines(figures))
    if layout.phases > 1:
        assert rows["Line voltage"].value == quantity(figures.emf_line_rms_V, "V")
        assert f"{figures.winding_factor:.3f}" in lines
        assert "3 phases in star" in lines
    if layout.carrier.plate:
        assert rows["Steel plate"].value == "3\u00a0mm"
        assert rows["Carrier"].value == "2 of ⌀\u00a0110\u00a0mm"
        assert "two carriers face each other" in lines
        assert "  Magnets               16 discs of " in lines
    if not layout.topology.concentrated:
        assert rows["Bundles"].value == "9\u00a0mm high in all"
