"""Machines side by side: the same speed or rig, gears, effort, prices, and what the command prints."""

import json
import re
from dataclasses import replace
from math import pi
from pathlib import Path

import pytest
from click.testing import CliRunner
from layouts import lantern_layout

from geometry.files.reading import FileFaults
from geometry.machine.layout_file import layout_text
from optimizer.brief.goal import Prices
from optimizer.circuit.loads import BridgeResistor, OpenCircuit, Resistor
from optimizer.commands.polepitch import polepitch
from optimizer.motors.comparison import (
    ComparisonEntry,
    Machine,
    at_speed,
    compare,
    machine_of_layout,
    machine_of_motor,
    read_machine,
    under_rig,
    with_machine,
)
from optimizer.motors.motor import OUTPUTS
from optimizer.motors.motor_file import read_rewind
from optimizer.motors.rewinding import pick, sweep
from optimizer.rigs.drivetrain import NoTorque, drivetrain_of
from optimizer.rigs.rig import Bearings, Rig
from optimizer.rigs.rig_file import read_rig
from optimizer.words.comparison_words import headline, verdicts

STUDIES = Path(__file__).parents[2] / "studies"
PRACTICE = Path(__file__).parents[1] / "common_practice"
BARE, GEARED, RIG = (PRACTICE / name for name in ("motor.toml", "geared_motor.toml", "geared_rig.toml"))


@pytest.fixture(scope="module")
def bare() -> Machine:
    return read_machine(BARE)


@pytest.fixture(scope="module")
def geared() -> Machine:
    return read_machine(GEARED)


@pytest.fixture(scope="module")
def discs() -> Machine:
    return machine_of_layout(lantern_layout(), Prices(currency="EUR", magnet=0.5, wire_per_m=0.1))


@pytest.fixture(scope="module")
def rig() -> Rig:
    return read_rig(RIG)


def test_gears_multiply_volts_and_effort(bare: Machine, geared: Machine) -> None:
    load = Resistor(ohms=15)
    one, other = (at_speed(machine, load, 300) for machine in (bare, geared))
    ratio = 100 / 30
    assert other.open_volts == pytest.approx(ratio * one.open_volts)
    assert other.watts == pytest.approx(ratio**2 * one.watts)
    shaft = other.open_volts**2 / (15 + geared.source.resistance) + geared.idle_torque * other.rpm * pi / 30
    assert other.hand_watts == pytest.approx(shaft / 0.97)
    assert other.hand_torque == pytest.approx(other.hand_watts / (10 * pi))


def test_without_a_load_each_gets_its_own_best(bare: Machine, discs: Machine) -> None:
    for entry in compare([bare, discs], None, speed_rpm=500):
        best = entry.open_volts**2 / (4 * entry.machine.source.resistance)
        assert entry.watts == pytest.approx(best, rel=1e-3)


def test_cost_and_mass_of_magnets_and_wire(discs: Machine, bare: Machine) -> None:
    assert discs.cost == pytest.approx(8 * 0.5 + 0.1 * discs.wire_length)
    assert discs.mass == pytest.approx(discs.copper_mass + 8 * lantern_layout().carrier.magnet.mass)
    # 40 a kilogram: 18 m of 0.224 mm wire weigh 6.31 g of copper and 0.26 g of enamel
    assert bare.cost == pytest.approx(40 * 6.57e-3, rel=2e-3)
    assert machine_of_layout(lantern_layout()).cost is None


def test_flywheel_stays_where_it_was(geared: Machine, rig: Rig) -> None:
    whole = with_machine(rig, geared)
    assert whole.split == 0
    assert whole.gears == geared.gears
    assert whole.bearings == rig.bearings


def test_a_motor_behind_gears_turns_in_its_own_bearings(geared: Machine, rig: Rig) -> None:
    sealed = replace(rig, bearings=Bearings(kind="none", seal_torque=0.015))
    drivetrain = drivetrain_of(NoTorque(), with_machine(sealed, geared), geared.rotor)
    assert drivetrain.wheel.rubbing == pytest.approx(0.015)
    assert drivetrain.rotor.rubbing == geared.idle_torque > 0


def test_a_motor_on_the_shaft_of_the_flywheel_adds_its_idle_torque(bare: Machine, rig: Rig) -> None:
    sealed = replace(rig, bearings=Bearings(kind="none", seal_torque=0.015))
    drivetrain = drivetrain_of(NoTorque(), with_machine(sealed, bare), bare.rotor)
    assert drivetrain.rotor.rubbing == pytest.approx(0.015 + bare.idle_torque)


def test_under_a_rig_energy_is_not_made(bare: Machine, geared: Machine, rig: Rig) -> None:
    entries = compare([bare, geared], Resistor(ohms=15), rig)
    assert all(0 < entry.watts < entry.hand_watts for entry in entries)
    free = compare([geared], OpenCircuit(), rig)[0]
    assert 3 < free.open_volts < 4
    assert free.watts == 0
    assert entries[1].rpm < free.rpm
    assert "gives the load the most watts" in verdicts(entries)[1]
    assert "gears whirr" in verdicts(entries)[1]


def test_a_hand_too_weak_is_a_row_with_its_reason(geared: Machine, rig: Rig) -> None:
    weak = replace(rig, operator=replace(rig.operator, force=0.01))
    entry = under_rig(geared, Resistor(ohms=15), weak)
    assert "too weak" in entry.failure
    assert verdicts([entry])[0].startswith("does not run on this rig")


def test_a_load_that_never_starts_is_said(bare: Machine) -> None:
    entry = at_speed(bare, BridgeResistor(ohms=15, drop=5.0), 300)
    assert entry.watts == 0
    assert verdicts([entry])[0].startswith("does not bring this load to work")


def test_machines_that_give_alike_are_told_as_alike(bare: Machine) -> None:
    """Three that bring a charger the same 5.00 V: none is praised for its volts; two of three share a praise."""
    one, two, three = (
        ComparisonEntry(machine=replace(bare, name=name), volts=5.0, watts=watts, hand_watts=10.0)
        for name, watts in (("one", 2.0), ("two", 1.99), ("three", 1.5))
    )
    said = verdicts([one, two, three])
    assert not any("the most volts" in words for words in said)
    assert "gives the load the most watts, alike with two" in said[0]
    assert "gives the load the most watts, alike with one" in said[1]
    assert "most" not in said[2]
    assert headline([one, two, three]).startswith("2 of them give the load as much, within 1.0")
    assert headline([one, three]).startswith("one gives the load most: 2.00")


def test_one_machine_alone_gives_nothing_more_than_others(bare: Machine) -> None:
    one = ComparisonEntry(machine=replace(bare, name="one"), volts=5.0, watts=2.0, hand_watts=10.0)
    assert headline([one]).replace("\u00a0", " ") == "one gives the load 2.00 W at 5.00 V direct."
    assert headline([replace(one, watts=0.0)]) == "one does not bring this load to work."
    assert headline([replace(one, watts=0.0)] * 2) == "None of them brings this load to work."


def test_volts_of_other_kinds_are_labelled_and_not_ranked(bare: Machine, discs: Machine) -> None:
    first, second = compare([bare, discs], None, speed_rpm=500)
    assert (first.open_kind, first.load_kind) == ("direct", "direct")
    assert (second.open_kind, second.load_kind) == ("rms", "rms")
    assert not any("the most volts" in words for words in verdicts([first, second]))
    fed = compare([bare, discs], BridgeResistor(ohms=5, drop=0.1), speed_rpm=2000)
    assert {entry.load_kind for entry in fed} == {"direct"}
    assert sum("the most volts" in words for words in verdicts(fed)) == 1


def test_line_and_phase_volts_of_three_phases_are_told_apart() -> None:
    three = read_machine(STUDIES / "single_or_three_phase" / "three_phases.toml")
    (entry,) = compare([three], Resistor(ohms=3))
    assert (entry.open_kind, entry.load_kind) == ("line rms", "phase rms")
    run = CliRunner().invoke(
        polepitch, ["compare", str(STUDIES / "single_or_three_phase" / "three_phases.toml"), str(BARE)]
    )
    assert " V" in run.stdout
    assert "line rms" in run.stdout
    assert "phase rms" in run.stdout


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_rewound_motor_has_the_figures_of_the_rewinding(output: str) -> None:
    """Volts, ohms and best watts of both, however it is tapped."""
    brief = replace(read_rewind(BARE), output=output, load=None, drop=0.2)
    row, machine = pick(sweep(brief)), machine_of_motor(brief)
    (entry,) = compare([machine], None, speed_rpm=brief.turning.relative_rpm)
    assert entry.open_volts == pytest.approx(row.volts)
    assert machine.ohms == pytest.approx(row.ohms)
    assert entry.watts == pytest.approx(row.best_watts, rel=1e-6)
    assert entry.open_kind == ("rms" if output in {"star", "delta"} else "direct")


def test_files_are_told_apart_by_what_they_hold(tmp_path: Path) -> None:
    path = tmp_path / "machine.toml"
    path.write_text(layout_text(lantern_layout()), encoding="utf-8")
    assert read_machine(path).kind == "magnets and coil"
    path.write_text(BARE.read_text(encoding="utf-8"), encoding="utf-8")
    assert read_machine(path).kind == "rewound motor"
    path.write_text("[motor]\nturns = ", encoding="utf-8")
    with pytest.raises(FileFaults, match="must be valid TOML"):
        read_machine(path)


def test_command_prints_one_object_and_writes_a_folder(tmp_path: Path) -> None:
    layout = tmp_path / "discs.toml"
    layout.write_text(layout_text(lantern_layout()), encoding="utf-8")
    folder = tmp_path / "out"
    run = CliRunner().invoke(polepitch, ["compare", str(layout), str(BARE), "--out", str(folder), "--json"])
    assert run.exit_code == 0
    found = json.loads(run.stdout)
    assert found["speed_rpm"] == 400
    numbers: list[float] = []
    json.loads(run.stdout, parse_float=lambda written: numbers.append(float(written)))
    assert len(numbers) > 20
    assert numbers == [float(f"{number:.7g}") for number in numbers]
    assert [row["kind"] for row in found["machines"]] == ["magnets and coil", "rewound motor"]
    names = {path.name for path in folder.iterdir()}
    assert names == {"compare.json", "compare.csv", "compare.html", "machines.png", "machines.svg"}
    assert "What each is good for" in (folder / "compare.html").read_text(encoding="utf-8")


@pytest.mark.slow
def test_rewind_command(tmp_path: Path) -> None:
    run = CliRunner().invoke(polepitch, ["rewind", str(BARE), "--out", str(tmp_path / "out"), "--json"])
    assert run.exit_code == 0
    found = json.loads(run.stdout)
    assert found["best"]["volts"] == pytest.approx(1.5625)
    assert found["turning"]["frequency_Hz"] == 10
    assert len(found["full_slot"]) == 8
    names = {path.name for path in (tmp_path / "out").iterdir()}
    pictures = {f"{name}.{kind}" for name in ("wires", "waves") for kind in ("png", "svg")}
    assert names == {"rewind.json", "sweep.csv", "rewind.html", *pictures}
    assert [row["output"] for row in found["old_coils"]] == ["star-bridge", "delta-bridge", "commutator"]
    assert found["gain_over_old_coils"] > 20
    assert not found["leave_old_coils"]
    rows = (tmp_path / "out" / "sweep.csv").read_text("utf-8").splitlines()
    assert [row.partition(",")[0] for row in rows] == ["coils", *["old"] * 3, *["new"] * 4]


def test_a_load_file_takes_the_place_of_the_stated_ohms(tmp_path: Path) -> None:
    load = tmp_path / "load.toml"
    load.write_text(
        '[load]\nkind = "bridge-resistor"\nresistance_ohm = 15\ndiode = "schottky"\n', encoding="utf-8"
    )
    run = CliRunner().invoke(polepitch, ["rewind", str(BARE), "--load", str(load), "--json"])
    assert run.exit_code == 0
    # (1.5625 − 2 · 0.2717) / (15 + 1.7351) = 0.06090 A, at which a 1N5819 by its card drops 0.0355 ln(1922) + 0.0031 V
    assert json.loads(run.stdout)["best"]["load_W"] == pytest.approx(0.06090**2 * 15, rel=1e-3)
    run = CliRunner().invoke(polepitch, ["compare", str(BARE), "--load", str(load), "--rpm", "600", "--json"])
    found = json.loads(run.stdout)
    assert found["load"] == {"kind": "bridge-resistor", "resistance_ohm": 15.0, "diode": "schottky"}
    assert found["machines"][0]["load_W"] == pytest.approx(0.06090**2 * 15, rel=1e-3)


def test_rig_and_rpm_exclude_each_other() -> None:
    run = CliRunner().invoke(polepitch, ["compare", str(BARE), "--rig", str(RIG), "--rpm", "300"])
    assert run.exit_code == 2
    assert "--rpm: must be left out when --rig is given" in run.output


def test_the_table_has_no_powers_of_ten_and_keeps_its_columns_apart() -> None:
    run = CliRunner().invoke(polepitch, ["compare", str(BARE), str(BARE), "--rpm", "20000"])
    assert run.exit_code == 0
    assert "e+0" not in run.stdout
    ends = re.compile(r"toy \(1\)  +Motor from a broken toy \(2\)$")
    (head,) = [line for line in run.stdout.splitlines() if ends.search(line)]
    (speeds,) = [line for line in run.stdout.splitlines() if "Speed of its own shaft" in line]
    first, second = (head.index(f"Motor from a broken toy ({at})") for at in (1, 2))
    assert (speeds[first:second].strip(), speeds[second:].strip()) == ("20000 rpm", "20000 rpm")
