"""Layouts of three phases in the commands that feed a load: load, drive, compare, and the search for a load."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from family import FAMILY

from geometry.machine.layout_file import layout_text
from optimizer.brief.brief import brief_from_text
from optimizer.circuit.thevenin import thevenin_of
from optimizer.commands.polepitch import polepitch
from optimizer.search.load_search import load_winner, optimize_for_load, target_value

pytestmark = pytest.mark.slow

STUDIES = Path(__file__).parents[2] / "studies"
THREE = STUDIES / "single_or_three_phase" / "three_phases.toml"
ONE = STUDIES / "single_or_three_phase" / "one_phase.toml"
RESISTOR = '[load]\nkind = "bridge-resistor"\nresistance_ohm = 8\ndiode = "schottky"\n'
BRIEF = """
[space]
outer_diameter_mm = 50
bore_diameter_mm = 8
air_gap_mm = 1
coil_height_mm = 5
[[magnets]]
shape = "disc"
diameter_mm = 12
thickness_mm = 3
grade = "N42"
quantity = 4
[wire]
diameters_mm = [0.25]
length_m = 20
[coil]
topologies = ["round"]
phases = {phases}
[speed]
rpm = 2000
[goal]
maximise = "load_power"
[load]
kind = "bridge-resistor"
resistance_ohm = 8
diode = "schottky"
"""


@pytest.fixture
def load(tmp_path: Path) -> str:
    file = tmp_path / "load.toml"
    file.write_text(RESISTOR)
    return str(file)


def told(*words: str) -> dict:
    done = CliRunner().invoke(polepitch, [*words, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_load(load: str, tmp_path: Path):
    found = told("load", str(THREE), "--load", load, "--out", str(tmp_path / "out"))
    source, point = found["source"], found["point"]
    assert (source["phases"], source["connection"]) == (3, "star")
    assert source["terminal_resistance_ohm"] == pytest.approx(2 * source["resistance_ohm"], rel=1e-6)
    assert point["load_W"] == pytest.approx(point["dc_V"] * point["dc_A"], rel=2e-2)
    lost = point["copper_W"] + point["diode_W"] + point["eddy_W"]
    assert point["shaft_W"] == pytest.approx(point["load_W"] + lost, rel=1e-6)
    assert "between two terminals" in (tmp_path / "out" / "load.html").read_text(encoding="utf-8")
    for choice in found["by_wire"]["wires"]:
        assert choice["terminal_resistance_ohm"] == pytest.approx(2 * choice["resistance_ohm"], rel=1e-6)
    drawn = (tmp_path / "out" / "by_wire.svg").read_text(encoding="utf-8")
    assert "source resistance between two terminals, Ω" in drawn


def test_a_delta_loses_what_runs_around_it(tmp_path: Path):
    file = tmp_path / "delta.toml"
    file.write_text(layout_text(FAMILY["twelve rounds"]))
    found = told("load", str(file))
    assert found["point"]["load_W"] == 0
    point = found["point"]
    assert point["copper_W"] > 0
    assert point["copper_W"] + point["eddy_W"] == pytest.approx(point["shaft_W"], rel=1e-6)
    done = CliRunner().invoke(polepitch, ["load", str(file)])
    assert "Around the delta" in done.stdout


def test_drive(load: str):
    found = told("drive", str(THREE), str(STUDIES / "pump_flywheel" / "rig.toml"), "--load", load)
    energies = found["energies_J"]
    assert found["settled"]["load_W"] > 0.2
    assert energies["load"] > 0
    spent = sum(value for name, value in energies.items() if name not in ("hand", "imbalance"))
    assert energies["hand"] == pytest.approx(spent, rel=1e-3)


def test_side_by_side_with_one_phase(load: str):
    rows = told("compare", str(ONE), str(THREE), "--load", load, "--rpm", "600")["machines"]
    assert "three phases in star" in rows[1]["built"]
    assert rows[1]["wire_length_m"] == pytest.approx(56.4, abs=0.1)  # of 60 m, less ends, joints and spare
    assert all(row["load_W"] > 0 for row in rows)


def test_the_search_for_a_load_tries_every_number_of_phases():
    brief, either = (brief_from_text(BRIEF.format(phases=phases), "brief") for phases in ("[3]", "[1, 3]"))
    assert brief.target is not None
    three, best = optimize_for_load(brief, brief.target), load_winner(either, brief.target).layout
    assert three.result.best.layout.phases == thevenin_of(three.result.best.layout).phases == 3
    assert three.value == pytest.approx(target_value(three.result.best.layout, three.target), rel=1e-9)
    assert three.value is not None
    assert target_value(best, brief.target) >= three.value * (1 - 1e-9) > 0
    assert best.phases == 1 or best == three.result.best.layout


def test_unequal_bundles_say_between_which_terminals(tmp_path: Path):
    file = tmp_path / "stacked.toml"
    file.write_text(layout_text(FAMILY["three serpentines"]))
    for words in (["evaluate", str(file)], ["load", str(file)]):
        done = CliRunner().invoke(polepitch, words)
        assert "between terminals A and B" in done.output
        assert "any two terminals" not in done.output


def test_small_figures_of_a_load_are_not_spun_out(tmp_path: Path):
    file, load = tmp_path / "delta.toml", tmp_path / "load.toml"
    file.write_text(layout_text(FAMILY["twelve rounds"]))
    load.write_text('[load]\nkind = "resistor"\nresistance_ohm = 100\n')
    told = CliRunner().invoke(polepitch, ["load", str(file), "--load", str(load)]).output
    rows = {line[:34].strip(): line for line in told.splitlines()}
    assert "Output begins" not in rows  # a resistor takes what comes, from rest
    assert "W " in rows["Lost in eddy currents"]
    assert "mN·m" in rows["From the shaft"]
