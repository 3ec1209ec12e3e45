"""Coil shapes on equal terms: what is made equal is equal, the rest is the same for all, and the figures are right."""

import csv
import json
import re
from collections.abc import Callable
from dataclasses import replace
from io import StringIO
from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from layouts import lantern_layout
from matplotlib.backends.backend_agg import FigureCanvasAgg
from tiers import shared

from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from optimizer.brief.brief import Brief, brief_text
from optimizer.charts.comparison_charts import PANELS, bars_plot, harmonics_plot, like_for_like_figures
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.commands.polepitch import polepitch
from optimizer.evaluation.chain import evaluate
from optimizer.evaluation.inductance import neumann_inductance
from optimizer.field.emf import machine_emf, waveform
from optimizer.plots.style import Figure, house_style
from optimizer.reports.answer_files import like_for_like_files
from optimizer.surveys import like_for_like
from optimizer.surveys.like_for_like import (
    COIL,
    CROSSING,
    JOINT,
    TERMS,
    LikeForLike,
    Term,
    compare_like_for_like,
    copper_used,
    resistive_torque,
    shape_entry,
    winding_effort,
)
from optimizer.words.comparison_words import equal_words, finding_words, missing_words, shape_headline

pytestmark = pytest.mark.search

SHAPES = ("serpentine", "wedge", "round")


@pytest.fixture(scope="module")
def three(small_brief: Brief) -> Brief:
    return replace(small_brief, topologies=SHAPES)


@pytest.fixture(scope="module")
def compared(three: Brief) -> LikeForLike:
    return comparison(three)


@shared
def comparison(brief: Brief) -> LikeForLike:
    return compare_like_for_like(brief)


def named(compared: LikeForLike, equal: str) -> Term:
    return next(term for term in compared.terms if term.equal == equal)


def test_all_terms_and_shapes_are_there(compared: LikeForLike):
    assert tuple(term.equal for term in compared.terms) == TERMS
    for term in compared.terms:
        assert tuple(each.name for each in term.shape_entries) == SHAPES
        assert term.missing == ()
    assert compared.considered > 1_000_000


def test_all_shapes_meet_the_same_machine(compared: LikeForLike):
    best = compared.best.layout
    for term in compared.terms:
        for each in term.shape_entries:
            layout = each.entry.layout
            assert layout.carrier == best.carrier
            assert (layout.space, layout.air_gap, layout.speed_rpm) == (
                best.space,
                best.air_gap,
                best.speed_rpm,
            )
            assert layout.winding.peg_radius >= compared.brief.peg_radius - 1e-12
            assert layout.winding.wire.grade == best.winding.wire.grade
            assert layout.winding.height <= compared.brief.coil_height + 1e-9
            assert not violations(layout)
            assert not overlaps(layout)


def test_equal_copper_is_equal(compared: LikeForLike):
    term = named(compared, "copper")
    volumes = [copper_used(each.entry) for each in term.shape_entries]
    metres = [each.entry.figures.wire_needed_m for each in term.shape_entries]
    sections = [each.entry.layout.winding.wire.copper_area for each in term.shape_entries]
    assert max(volumes) / min(volumes) - 1 == pytest.approx(term.spread)
    assert term.spread < 0.01
    assert volumes == pytest.approx([a * b for a, b in zip(metres, sections, strict=True)])
    assert max(volumes) <= (term.measure or 0) * (1 + 1e-6) <= copper_used(compared.best) * (1 + 2e-6)


def test_equal_wire_is_equal(compared: LikeForLike):
    term = named(compared, "wire")
    lengths = [each.entry.figures.wire_needed_m for each in term.shape_entries]
    assert {each.entry.layout.winding.wire for each in term.shape_entries} == {
        compared.best.layout.winding.wire
    }
    assert max(lengths) / min(lengths) - 1 == pytest.approx(term.spread)
    assert term.spread < 0.01
    for each in term.shape_entries:
        one_turn = 1.02 * each.entry.figures.wire_length_m / each.entry.layout.winding.turns
        assert each.entry.figures.wire_needed_m + one_turn > term.measure


def test_an_envelope_lets_every_shape_take_what_it_likes(compared: LikeForLike):
    free, bound = named(compared, "envelope"), named(compared, "wire")
    assert free.measure is None
    for maximum, less in zip(free.shape_entries, bound.shape_entries, strict=True):
        assert maximum.entry.figures.matched_power_W > less.entry.figures.matched_power_W
        assert maximum.entry.figures.wire_length_m > less.entry.figures.wire_length_m


def test_no_shape_can_do_better_under_its_term(compared: LikeForLike):
    """Each dimension moved a little, the copper kept: the power never rises by more than rounding brings."""
    for each in named(compared, "copper").shape_entries:
        layout, power = each.entry.layout, each.entry.figures.matched_power_W
        for name in ("inner_radius", "outer_radius", "width", "height"):
            for step in (-3e-4, 3e-4):
                winding = layout.winding
                moved = replace(winding, **{name: getattr(winding, name) + step})
                other = replace(layout, winding=moved)
                if violations(other) or moved.height > compared.brief.coil_height:
                    continue
                emf, volume = waveform(other).rms, thevenin_of(other).resistance
                # of equal copper: power goes as (EMF per ohm)² times the ohms that the copper gives
                best = emf**2 / (4 * volume) * (each.entry.figures.resistance_ohm / volume)
                assert best < power * 1.003, (each.name, name, step)


def test_shapes_that_cannot_take_so_much_lower_it_for_all(three: Brief):
    endless = replace(three, length=3000.0)
    (term,) = compare_like_for_like(endless, ("wire",)).terms
    assert term.measure is not None
    assert term.measure < 3000
    assert term.spread < 0.02


def test_the_order_of_shapes_changes_nothing(three: Brief, compared: LikeForLike):
    turned = compare_like_for_like(replace(three, topologies=SHAPES[::-1]), ("wire",))
    there = {each.name: each for each in turned.terms[0].shape_entries}
    assert {each.name: each for each in named(compared, "wire").shape_entries} == there


def test_shapes_that_do_not_fit_are_named(three: Brief):
    short = replace(three, length=1.2)  # ends and joints taken off, too little for one turn of eight wedge coils
    compared = compare_like_for_like(short, ("wire",))
    (term,) = compared.terms
    assert term.missing == ("wedge",)
    assert [each.name for each in term.shape_entries] == ["serpentine", "round"]
    assert missing_words(term) == "Wedge coils do not fit beside these magnets."


def test_figures_of_a_contestant(compared: LikeForLike):
    for term in compared.terms:
        for each in term.shape_entries:
            layout, figures = each.entry.layout, each.entry.figures
            emf = waveform(layout)
            assert each.emf_per_metre == pytest.approx(figures.emf_rms_V / figures.wire_length_m)
            assert dict(each.harmonics)[3] == pytest.approx(emf.amplitudes[1] / emf.amplitudes[0])
            assert [order for order, _ in each.harmonics] == [3, 5, 7, 9]
            assert each.inductance == pytest.approx(neumann_inductance(layout))
            assert each.reactance == pytest.approx(2 * pi * figures.frequency_Hz * each.inductance)
            # all power of the shaft is heat in the two equal resistances, less what the inductance holds back
            maximum = figures.emf_rms_V**2 / (2 * figures.resistance_ohm) / (layout.speed_rpm * pi / 30)
            assert each.torque < maximum
            assert each.torque == pytest.approx(
                maximum, rel=(each.reactance / figures.resistance_ohm) ** 2 + 0.01
            )


def sine(inductance: float = 0.0, third: float = 0.0) -> TheveninSource:
    return TheveninSource(
        name="sine",
        pole_pairs=4,
        orders=np.array([1.0, 3.0]),
        flux_constants=np.array([0.2, 0.2 * third]),
        resistance=3.0,
        inductance=inductance,
    )


def test_torque_of_a_sine_swings_between_nothing_and_twice_the_mean():
    mean, ripple = resistive_torque(sine(), 50.0, 5.0)
    assert mean == pytest.approx(50 * 0.2**2 / 2 / 8)
    assert ripple == pytest.approx(2, abs=1e-4)


def test_three_sines_pull_evenly():
    one, _ = resistive_torque(sine(), 50.0, 5.0)
    mean, ripple = resistive_torque(sine(), 50.0, 5.0, phases=3)
    assert mean == pytest.approx(3 * one)
    assert ripple < 1e-12
    assert resistive_torque(sine(third=0.1), 50.0, 5.0, phases=3)[1] > 0.01


def test_inductance_holds_current_back_and_turns_torque_negative():
    reactance, ohms = 4 * 50 * 0.02, 8.0
    mean, ripple = resistive_torque(sine(0.02), 50.0, 5.0)
    assert mean == pytest.approx(50 * 0.2**2 / 2 * ohms / (ohms**2 + reactance**2))
    assert ripple == pytest.approx(2 * (ohms**2 + reactance**2) ** 0.5 / ohms, rel=1e-4)


@pytest.mark.parametrize(
    ("shape", "coils", "bends", "joints", "crossings"),
    [("serpentine", 1, 16, 0, 0), ("wedge", 8, 4, 7, 4), ("round", 8, 0, 7, 4), ("racetrack", 8, 4, 7, 4)],
)
def test_effort_counts_what_hands_do(shape: str, coils: int, bends: int, joints: int, crossings: int):
    layout = lantern_layout(shape)
    assert layout.carrier.count == 8
    effort = winding_effort(layout)
    counted = (effort.coils, effort.bends_per_turn, effort.joints, effort.crossings)
    assert counted == (coils, bends, joints, crossings)
    turns = coils * layout.winding.turns
    assert effort.turns == turns
    assert effort.motions == turns * (1 + bends) + coils * COIL + joints * JOINT + crossings * CROSSING


def test_one_and_three_phases_compete(three: Brief):
    both = compare_like_for_like(replace(three, topologies=("wedge",), phases=(1, 3)), ("wire",))
    one, three_phases = both.terms[0].shape_entries
    assert (one.name, three_phases.name) == ("wedge", "three-phase wedge")
    assert three_phases.torque_ripple < 0.1
    assert one.torque_ripple > 1.8
    wires = [each.entry.figures.wire_needed_m for each in (one, three_phases)]
    assert wires[0] == pytest.approx(wires[1], rel=0.01)
    figures = three_phases.entry.figures
    assert three_phases.emf_per_metre == pytest.approx(3 * figures.emf_rms_V / figures.wire_length_m)
    assert " W" in finding_words(both.terms[0]).replace("\u00a0", " ")  # a phase's volts would mislead


@pytest.mark.parametrize("equal", [(), ("volts",), ("wire", "wire")])
def test_wrong_terms_are_told(small_brief: Brief, equal: tuple[str, ...]):
    with pytest.raises(ValueError, match="equal must be distinct terms of envelope, copper, wire, was"):
        compare_like_for_like(small_brief, equal)


def test_words_tell_who_leads_and_how_equal(compared: LikeForLike):
    term = named(compared, "wire")
    best = max(term.shape_entries, key=lambda each: each.entry.figures.emf_rms_V)
    assert finding_words(term).startswith(
        f"Equal wire: {best.name} coils give {best.entry.figures.emf_rms_V:.3g}"
    )
    assert finding_words(term).count("less") == 2
    assert "They differ by" in equal_words(compared, term)
    assert shape_headline(compared).count("Equal") == 3


@pytest.fixture(scope="module")
def files(compared: LikeForLike) -> dict[str, bytes]:
    return like_for_like_files(compared)


def test_files_hold_the_same_numbers(compared: LikeForLike, files: dict[str, bytes]):
    document = json.loads(files["comparison.json"])
    rows = list(csv.DictReader(StringIO(files["comparison.csv"].decode())))
    saved = [(term["equal"], shape) for term in document["terms"] for shape in term["shapes"]]
    assert len(rows) == len(saved) == 9
    for row, (equal, shape) in zip(rows, saved, strict=True):
        assert (row["equal"], row["shape"]) == (equal, shape["shape"])
        assert float(row["emf_per_root_ohm"]) == shape["emf_per_root_ohm"]
        assert float(row["harmonic_3"]) == shape["harmonic_3"]
        assert int(row["hand_motions"]) == shape["hand_motions"]
    plots = [
        f"{name}.{kind}"
        for name in (*(f"equal_{term}" for term in TERMS), "harmonics")
        for kind in ("png", "svg")
    ]
    assert list(files)[3:] == plots
    assert files == like_for_like_files(compared)


def test_the_page_stands_alone_and_trusts_no_title(files: dict[str, bytes]):
    html = files["comparison.html"].decode()
    assert "<script>alert" not in html
    assert "&lt;script&gt;" in html
    assert 'src="http' not in html
    assert "link rel" not in html
    for heading in ("Equal envelope and gap", "Equal copper", "Equal wire", "How hard to wind", "Cautions"):
        assert f">{heading}</h2>" in html


def run(*words: str | Path):
    return CliRunner().invoke(polepitch, ["compare", *map(str, words)])


def test_the_command_compares_the_shapes_of_a_brief(tmp_path: Path, three: Brief, once: Callable[..., None]):
    once("compare_like_for_like", like_for_like, arguments=2)
    path, out = tmp_path / "brief.toml", tmp_path / "out"
    path.write_text(brief_text(three))
    told = run(path, "--equal", "wire", "--equal", "copper", "--equal", "wire", "--out", out, "--json")
    assert told.exit_code == 0
    document = json.loads(told.stdout)
    assert [term["equal"] for term in document["terms"]] == ["wire", "copper"]
    assert json.loads((out / "comparison.json").read_text()) == document
    words = run(path, "--equal", "wire", "--equal", "copper").stdout
    assert "Equal wire: " in words
    assert "EMF per root ohm, whole machine, V/√Ω" in words
    radii = next(line for line in words.splitlines() if line.startswith("  Radii, mm"))
    assert [cell.count(" to ") for cell in re.split(r" {2,}", radii.strip())] == [0, 1, 1, 1]


def test_the_command_takes_one_brief_alone(tmp_path: Path):
    for words in ((tmp_path, tmp_path, "--equal", "wire"), (tmp_path, "--equal", "wire", "--rpm", "300")):
        told = run(*words)
        assert told.exit_code == 2
        assert "--equal: must be given with one BRIEF" in told.output
    assert run(tmp_path, "--equal", "volts").exit_code == 2


@pytest.fixture(scope="module")
def mixed(three: Brief) -> Term:
    return compare_like_for_like(replace(three, topologies=("wedge", "round"), phases=(1, 3)), ("copper",)).terms[0]


def test_volts_per_root_ohm_are_the_whole_machine_s(mixed: Term):
    """A quarter of their square is the power, whatever the number of phases: machines of like power look alike."""
    for each in mixed.shape_entries:
        figures = each.entry.figures
        assert each.emf_per_root_ohm == pytest.approx(sqrt(figures.layout.phases) * figures.emf_per_root_ohm, rel=1e-6)
        assert each.emf_per_root_ohm**2 / 4 == pytest.approx(figures.matched_power_W)
        assert each.row()["machine_emf_per_root_ohm"] == pytest.approx(each.emf_per_root_ohm, rel=1e-5)
    (panel,) = (value for name, value in PANELS if "V/√Ω" in name)
    assert [panel(each) for each in mixed.shape_entries] == [each.emf_per_root_ohm for each in mixed.shape_entries]


@pytest.mark.parametrize("connection", ["star", "delta"])
def test_harmonics_are_those_between_the_terminals(mixed: Term, connection: str):
    """A third harmonic, the same in all three phases, is not there; the rest keeps its share."""
    for each in mixed.shape_entries:
        layout = each.entry.layout
        if layout.phases == 3:
            layout = replace(layout, winding=replace(layout.winding, connection=connection))
        emf = waveform(layout)
        own = dict(zip(emf.orders.astype(int).tolist(), emf.amplitudes / emf.amplitudes[0], strict=True))
        found = shape_entry(each.name, replace(each.entry, figures=evaluate(layout)))
        shares = dict(found.harmonics)
        assert [abs(shares[order]) for order in (5, 7)] == pytest.approx([abs(own[5]), abs(own[7])], rel=1e-6)
        assert shares[3] == (0 if layout.phases == 3 else pytest.approx(own[3]))
        line = machine_emf(layout).lines[0]
        assert found.distortion == pytest.approx(line.distortion)


def test_bars_of_one_phase_and_three_are_told_apart(mixed: Term):
    """By hatching, and by shade as well; the bars of the harmonics and of the figures look the same."""
    with house_style():
        axes, bars = Figure().subplots(2)
        harmonics_plot(mixed, axes)
        bars_plot(mixed, "EMF", lambda each: each.emf_per_metre, bars)
    looks = [(group[0].get_hatch(), group[0].get_facecolor()) for group in axes.containers]
    assert len({hatch for hatch, _ in looks}) == len(looks) == len(mixed.shape_entries)
    assert len({color for _, color in looks}) == len(looks)
    assert [(bar[0].get_hatch(), bar[0].get_facecolor()) for bar in bars.containers] == looks


def test_no_title_is_cut_off(mixed: Term, compared: LikeForLike):
    """However many shapes trail: the words stay within the picture."""
    for term in (mixed, replace(mixed, shape_entries=mixed.shape_entries * 2), *compared.terms):
        figure = like_for_like_figures(replace(compared, terms=(term,)))[f"equal_{term.equal}"]
        (title,) = figure.texts
        box = title.get_window_extent(FigureCanvasAgg(figure).get_renderer())
        assert box.x1 <= figure.bbox.x1
        assert box.y1 <= figure.bbox.y1
        assert " ".join(title.get_text().split("\n")) == finding_words(term)
