"""What follows from a machine is worked out once and handed on: field, EMF, figures, card, drawings and plots."""

import sys
from collections import Counter
from collections.abc import Callable
from types import FrameType

import pytest
from family import facing_wedges, nine_wedges
from layouts import lantern_layout
from shown import load_page

from geometry.coils.series_order import series_order
from geometry.coils.star_of_slots import star_of_slots
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from optimizer.building.pack_parts import PackOptions
from optimizer.circuit.loads import Resistor
from optimizer.documents.study_document import study_document
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.loads.load_study import study_load
from optimizer.packs.build_pack import build_pack
from optimizer.packs.result_files import ShownResult, result_files
from optimizer.search.result import Result
from optimizer.terminal.printed_study import study_lines

MACHINES = {"lantern": lantern_layout("wedge"), "three phases": nine_wedges(), "facing": facing_wedges()}
GAPS = 12  # of the plot over the air gap, each a machine of its own


def calls(work: Callable[[], object]) -> Counter[str]:
    """How often each function of ours was called, by its name within its module, nothing being known before."""
    machine_emf.cache_clear()
    seen: Counter[str] = Counter()

    def count(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            seen[frame.f_code.co_qualname] += 1

    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(None)
    return seen


def chains(layout: Layout) -> int:
    """The machine's own, and behind steel the one whose plate carries all the flux, to compare with."""
    return 2 if layout.carrier.plate else 1


@pytest.mark.parametrize("name", MACHINES)
def test_an_evaluation_asks_for_each_thing_once(name: str) -> None:
    layout = MACHINES[name]
    seen = calls(lambda: evaluate(layout))
    once = ("figures_of", "wire_length", "phase_ends", "attraction", "field_error")
    assert {each: seen[each] for each in once} == dict.fromkeys(once, 1)
    for each in ("machine_emf", "half_turn_functional"):
        assert seen[each] == chains(layout), each


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.slow
def test_a_pack_carries_its_machine_through_the_chain_once(name: str) -> None:
    layout = MACHINES[name]
    for kept in (star_of_slots, series_order, phase_turns):
        kept.cache_clear()
    seen = calls(lambda: build_pack(layout, PackOptions()))
    once = ("evaluation", "figures_of", "winding_card", "layout_figures", "draw_layout", "machine_report_html")
    assert {each: seen[each] for each in once} == dict.fromkeys(once, 1)
    assert seen["machine_emf"] == chains(layout)
    assert seen["waveform"] == GAPS  # each of one phase alone
    assert seen["attraction"] == 1
    assert (seen["star_of_slots"], seen["series_order"]) == (layout.topology.concentrated, 1)
    assert seen["phase_turns"] <= layout.phases * (1 + GAPS)
    assert seen["figure_svg"] == 4
    assert seen["figure_png"] == 0


@pytest.mark.slow
def test_report_and_pack_of_one_answer_draw_each_plot_once(small_result: Result) -> None:
    def work() -> None:
        shown = ShownResult.of(small_result)
        files = result_files(shown)
        build_pack(shown.machine.layout, PackOptions(even_so=True), shown=shown)
        assert sum(name.endswith(".png") for name in files) == len(shown.drawn)

    seen = calls(work)
    once = ("result_figures", "evaluation", "winding_card", "draw_layout")
    assert {each: seen[each] for each in once} == dict.fromkeys(once, 1)
    plots = 8
    assert (seen["figure_svg"], seen["figure_png"]) == (plots, plots)


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.slow
def test_a_load_study_and_its_words_carry_the_machine_through_the_chain_once(name: str) -> None:
    layout = MACHINES[name]

    def work() -> None:
        study = study_load(layout, Resistor(ohms=8.0))
        study_document(study)
        study_lines(study)
        load_page(study)

    seen = calls(work)
    assert seen["figures_of"] == 1
    assert seen["machine_emf"] == chains(layout)


def test_a_figure_knows_its_machine_and_the_writer_rounds() -> None:
    layout: Layout = lantern_layout()
    figures = evaluate(layout)
    assert figures.layout is layout
    assert figures.emf_rms_V != float(f"{figures.emf_rms_V:.9g}")
