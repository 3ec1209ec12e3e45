"""Searching for a load: never worse than the other goals, told in the brief, printed by the command."""

import json
from dataclasses import replace

import pytest
from briefs import SMALL_BRIEF
from searches import searched_for_load
from tiers import shared

from geometry.files.reading import FileFaults
from geometry.machine.layout import Layout
from optimizer.brief.brief import brief_from_text, brief_text
from optimizer.circuit.loads import BridgeBattery, BridgeCapacitor, OpenCircuit, Resistor, UsbConverter
from optimizer.loads.load_target import LoadTarget, LoadVerdict
from optimizer.scan.scan import scan
from optimizer.search.load_search import Tried, loss, target_value
from optimizer.search.refine import best_of
from optimizer.search.search import NOTHING
from optimizer.words.load_words import answer_words

WIRES = SMALL_BRIEF.replace("[0.25, 0.315]", "[0.2, 0.315, 0.5]").replace('["wedge", "round"]', '["wedge"]')
WIRES = WIRES.replace("quantity = 8", "quantity = 4")
BRIEF = brief_from_text(WIRES, "small")


@pytest.fixture
def others() -> list[Layout]:
    return rivals()


@shared
def rivals() -> list[Layout]:
    """The best layouts for EMF and for matched power, and for EMF with each wire alone within two limits."""
    briefs = [replace(BRIEF, goal="emf_rms"), replace(BRIEF, goal="power")]
    briefs += [
        replace(BRIEF, wires=(wire,), resistance=limit) for wire in BRIEF.wires for limit in (1.0, 3.0)
    ]
    found = [best_of(brief, starts) for brief in briefs if (starts := scan(brief).starts)]
    return [entry.layout for entry in found if entry is not None]


@pytest.mark.search
@pytest.mark.parametrize(
    "load",
    [Resistor(ohms=1.0), BridgeCapacitor(ohms=10.0, farads=1e-3, drop=0.35)],
    ids=lambda load: type(load).__name__,
)  # fmt: skip
def test_no_other_goal_and_no_single_wire_gives_the_load_more(load, others):
    target = LoadTarget(kind="load_power", load=load)
    answer = searched_for_load(BRIEF, target)
    assert answer.value == pytest.approx(answer.point.load_watts)
    values = [target_value(layout, target) for layout in others]
    assert answer.value >= max(values) * (1 - 1e-6)
    assert answer.value > 1.2 * values[0]
    if isinstance(load, BridgeCapacitor):  # near its threshold it wants a wire that neither EMF nor power asks for
        assert answer.value > 1.5 * max(values)
    assert all(move.change <= NOTHING for move in answer.result.moves if move.fits)


@pytest.mark.search
def test_the_lowest_speed_is_below_that_of_the_other_goals(others):
    target = LoadTarget(kind="lowest_speed", load=BridgeBattery(volts=1.2, ohms=0.1, drop=0.35), watts=0.1)
    answer = searched_for_load(BRIEF, target)
    assert answer.value <= min(target_value(layout, target) for layout in others) * (1 + 1e-6)
    # thick pegs are worth the most EMF, but a bridge asks for the pointed wave of thin ones
    assert any(layout.winding.peg_radius > 2 * BRIEF.peg_radius for layout in others)
    assert answer.result.best.layout.winding.peg_radius == pytest.approx(BRIEF.peg_radius)


@pytest.mark.search
def test_any_output_at_the_lowest_speed_is_a_matter_of_volts():
    target = LoadTarget(kind="lowest_speed", load=BridgeBattery(volts=1.2, ohms=0.1, drop=0.35))
    answer = searched_for_load(BRIEF, target)
    assert len(answer.tried) == 2  # the greatest EMF, and that machine optimised for the load
    best = best_of(BRIEF, scan(BRIEF).starts)
    assert best is not None
    # output begins with the peak, not with the RMS value: a more pointed wave of fewer volts starts a tenth sooner
    assert answer.result.best.figures.emf_rms_V <= best.figures.emf_rms_V * (1 + 1e-4)
    assert answer.value is not None
    assert answer.value < 0.92 * target_value(best.layout, target)


LOAD = '[load]\nkind = "usb"\nleast_input_V = 3\nefficiency = 0.8\nmost_W = 2\n'


@pytest.mark.parametrize(
    "goal",
    ['maximise = "load_power"', 'maximise = "lowest_speed"', 'maximise = "lowest_speed"\nload_W = 1.5'],
)
def test_a_brief_with_a_load_is_read_and_written(goal):
    brief = brief_from_text(f"{WIRES}\n[goal]\n{goal}\n{LOAD}", "b")
    assert brief.target is not None
    assert brief.goal == "emf_rms"
    assert brief_from_text(brief_text(brief), "again") == brief


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        ('[goal]\nmaximise = "load_power"', 'a table [load] must be given for maximise = "load_power", was missing'),
        (LOAD, "load: must be left out unless maximise is one of load_power, lowest_speed"),
        ('[goal]\nmaximise = "load_power"\nload_W = 1\n' + LOAD, 'must be left out unless maximise = "lowest_speed"'),
        ('[goal]\nmaximise = "load_power"\n[load]\nkind = "open"', 'must be a load that takes current, was "open"'),
        ('[goal]\nmaximise = "lowest_speed"\nload_W = 3\n' + LOAD, "must be able to give goal.load_W, was 2 W at most"),
    ],
)  # fmt: skip
def test_briefs_that_are_refused(tables, words):
    with pytest.raises(FileFaults) as faults:
        brief_from_text(f"{WIRES}\n{tables}", "b")
    assert words in str(faults.value)


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (
            lambda: LoadTarget(kind="volts", load=Resistor(ohms=1.0)),
            "kind must be one of load_power, lowest_speed",
        ),
        (lambda: LoadTarget(kind="load_power", load=OpenCircuit()), "load must take current"),
        (
            lambda: LoadTarget(
                kind="lowest_speed", load=UsbConverter(least_input=4.0, efficiency=0.8, drop=0.3), watts=9.0
            ),
            "watts must be at most what the converter gives, was 9",
        ),
    ],
)
def test_targets_that_are_refused(build, words):
    with pytest.raises(ValueError, match=words):
        build()


def test_of_layouts_that_give_nothing_the_one_whose_output_begins_first_is_best():
    target = LoadTarget(kind="load_power", load=BridgeBattery(volts=100.0, ohms=0.1, drop=0.35))
    slow, fast = (Tried("emf_rms", limit, limit, 0.0, starts) for limit, starts in ((2.0, 830.0), (1.0, 1340.0)))
    assert min(fast, slow, key=lambda tried: loss(tried, target)) == slow
    fed = Tried("power", 1.0, 1.0, 0.1, 900.0)
    assert min(slow, fed, key=lambda tried: loss(tried, target)) == fed


@pytest.mark.parametrize(
    ("load", "beaten"),
    [
        (BridgeCapacitor(ohms=10.0, farads=1e-3, drop=0.35), "0.700\u00a0V, the drop of two diodes;"),
        (
            BridgeBattery(volts=3.6, ohms=0.1, drop=0.35),
            "4.30\u00a0V, the sink's own volts and the drop of two diodes;",
        ),
        (
            UsbConverter(least_input=4.0, efficiency=0.8, drop=0.3),
            "4.60\u00a0V, the least that the converter takes and the drop of two diodes;",
        ),
    ],
)  # fmt: skip
def test_a_load_that_no_layout_feeds_is_told_why_and_from_what_speed(load, beaten):
    target = LoadTarget(kind="load_power", load=load)
    verdict = LoadVerdict(target=target, value=0.0, watts=0.0, limit=None, peak=0.506, cut_in_rpm=830.4)
    words = answer_words(verdict, 600)
    assert words.startswith("gets nothing at 600 rpm from any layout tried.")
    assert beaten in words
    assert "reaches 0.506\u00a0V" in words
    assert words.endswith("would begin at 830 rpm, the lowest of all tried")
    told = verdict.as_dict()
    assert (told["terminal_peak_V"], told["starts_at_rpm"]) == (0.506, 830.4)


@pytest.mark.search
@pytest.mark.usefixtures("shared_searches")
def test_the_command_prints_and_writes_the_load(tmp_path, capsys):
    from optimizer.commands.polepitch import polepitch

    brief = tmp_path / "brief.toml"
    brief.write_text(
        f'{WIRES}\n[goal]\nmaximise = "load_power"\n[load]\nkind = "resistor"\nresistance_ohm = 1\n'
    )
    polepitch.main(["optimize", str(brief), "--out", str(tmp_path / "out"), "--json"], standalone_mode=False)
    printed = json.loads(capsys.readouterr().out)
    assert printed["load"]["unit"] == "W"
    assert printed["load"]["value"] == pytest.approx(printed["load"]["load_W"])
    assert (tmp_path / "out" / "load" / "load.html").exists()
