"""What is told of the phases B and C, of all lines, and of the handbook's winding factor."""

import json
from math import sqrt

import pytest
from family import nine_wedges, three_serpentines, twelve_rounds
from layouts import lantern_layout

from geometry.coils.star_of_slots import handbook_winding_factor
from geometry.machine.layout import Layout
from optimizer.answers.preview import figure_rows
from optimizer.evaluation.chain import evaluate, figures_document
from optimizer.field.emf import machine_emf
from optimizer.terminal.printed_words import figure_lines
from optimizer.words.figure_catalogue import machine_groups
from optimizer.words.wording import quantity


def rows_of(layout: Layout) -> dict[str, tuple[str, str]]:
    """Value and remark of the catalogue's rows, by name."""
    groups = machine_groups(evaluate(layout))
    return {row.label: (row.value, row.remark) for rows in groups.values() for row in rows}


@pytest.mark.parametrize("layout", [nine_wedges(), twelve_rounds()])
def test_phases_alike(layout: Layout):
    figures = evaluate(layout)
    assert figures.phase_emf_rms_V == pytest.approx([figures.emf_rms_V] * 3, rel=1e-6)
    assert figures.line_emf_rms_V == pytest.approx([figures.emf_line_rms_V] * 3, rel=1e-6)
    assert rows_of(layout)["Phases"] == (f"{quantity(figures.emf_rms_V, 'V')} across each phase", "alike; 120° apart")


def test_phases_in_layers():
    """Every phase and every line is told, and how far they are apart."""
    layout = three_serpentines()
    figures = evaluate(layout)
    told = figures_document(figures)
    a, b, c = told["phase_emf_rms_V"]
    assert [a, b, c] == pytest.approx([wave.rms for wave in machine_emf(layout).phases], rel=1e-8)
    assert a == told["emf_rms_V"] > b > c
    first = [wave.amplitudes[0] / sqrt(2) for wave in machine_emf(layout).phases]
    between = sqrt(first[1] ** 2 + first[2] ** 2 + abs(first[1] * first[2]))
    assert told["line_emf_rms_V"][1] == pytest.approx(between, rel=0.02)
    assert told["line_emf_rms_V"][0] == told["emf_line_rms_V"]
    value, remark = rows_of(layout)["Phases"]
    assert value.replace("\u00a0", " ") == f"{a:.3g} V across A, {b:.3g} V across B, {c:.3g} V across C"
    assert remark.replace("\u00a0", " ") == f"the least {100 * (1 - c / a):.0f} % below the most; 120° apart"
    _, remark = rows_of(layout)["Line voltage"]
    assert remark.startswith("rms between terminals A and B, in star; B and C ")
    assert remark.replace("\u00a0", " ").endswith(f"the least {percent_below(told['line_emf_rms_V'])} % below the most")


def percent_below(values: list[float]) -> str:
    """How far the least is below the most, whole per cent."""
    return f"{100 * (1 - min(values) / max(values)):.0f}"


def test_one_phase_has_no_others():
    told = figures_document(evaluate(lantern_layout()))
    assert (told["phase_emf_rms_V"], told["line_emf_rms_V"]) == (None, None)
    assert told["winding_factor_handbook"] == 1


def test_the_handbook_s_winding_factor_stands_beside_the_actual_one():
    layout = nine_wedges()
    figures = evaluate(layout)
    assert figures.winding_factor_handbook == pytest.approx(handbook_winding_factor(9, 8, 3))
    assert rows_of(layout)["Winding factor"] == (
        f"{figures.winding_factor:.3f}",
        "fundamental, of the turns where they lie; by the handbook 0.945",
    )
    assert evaluate(three_serpentines()).winding_factor_handbook == 1


def test_a_winding_beside_the_magnets_is_told_why_it_has_no_winding_factor():
    layout = lantern_layout("round", phases=3, coils=9, pitch_radius=0.024, inner_radius=0.032, outer_radius=0.052)
    figures = evaluate(layout)
    assert json.loads(json.dumps(figures_document(figures)))["winding_factor"] is None
    value, remark = rows_of(layout)["Winding factor"]
    assert value == "none"
    assert remark.startswith("the winding reaches into the return field beside the magnets, where straight full-pitch")
    assert f"  {'Winding factor':<21} {'none':<23} {remark}" in figure_lines(figures)
    (row,) = (row for row in figure_rows(figures) if row["name"] == "Winding factor")
    assert (row["value"], row["remark"]) == (value, remark)
