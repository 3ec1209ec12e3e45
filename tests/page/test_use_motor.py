"""A rewound motor beside the design: what the page says equals what the commands say of the same files."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import httpx
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers import simulation
from optimizer.answers.downloads import SIMULATION_FILES
from optimizer.answers.page_values import text_of_flat
from optimizer.answers.refusal import Refused
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeResistor
from optimizer.commands.polepitch import polepitch
from optimizer.loads.load_file import load_text
from optimizer.motors.motor_file import read_rewind, rewind_from_text
from optimizer.page.app import start_of
from optimizer.starters.file_kinds import example_text
from optimizer.words.wording import number

pytestmark = pytest.mark.slow

START = start_of(None)
LOAD = {"load.kind": "bridge-resistor", "load.resistance_ohm": "20", "load.diode": "schottky"}
GEARS = {"gears.1.driver_teeth": "60", "gears.1.driven_teeth": "12", "gears.1.efficiency": "0.9"}


def asked(motor: dict[str, str], rig: dict[str, str] | None = None) -> dict[str, Any]:
    return {"design": START["design"], "load": LOAD, "rig": rig or {}, "motor": motor}


@pytest.fixture(scope="module")
def client(address: str) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=address, timeout=60) as made:
        yield made


@pytest.fixture
def bench(client: httpx.Client, tmp_path: Path) -> Path:
    """A folder with the files of the page: layout, load, rig, and a motor behind gears that takes all turns."""
    content = asked(START["motor"] | GEARS, START["rig"])
    for name in ("motor.toml", "load.toml", "rig.toml"):
        answer = client.post("/download_simulated", json={"name": name, **content})
        assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
        (tmp_path / name).write_bytes(answer.content)
    (tmp_path / "layout.toml").write_text(layout_text(layout_from_text(example_text("layout"), "layout.toml")))
    return tmp_path


def run(bench: Path, *words: str) -> dict[str, Any]:
    """What a command prints as JSON about files on the bench, once it has written all of its files to `out`."""
    found = [str(bench / word) if word.endswith(".toml") else word for word in words]
    done = CliRunner().invoke(polepitch, [*found, "--json", "--out", str(bench / "out")])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_bundled_motor_is_the_study_s_but_for_its_load():
    study = read_rewind(Path(__file__).parents[2] / "studies" / "rewound_motor" / "motor.toml")
    assert rewind_from_text(example_text("motor"), "motor.toml") == replace(study, load=None)


def test_a_motor_s_file_reads_as_the_page_has_it(bench: Path):
    assert read_rewind(bench / "motor.toml") == rewind_from_text(text_of_flat(START["motor"] | GEARS, "m"), "m")
    assert len(read_rewind(bench / "motor.toml").wires) == 5


def test_figures_are_those_of_the_command_rewind(client: httpx.Client, bench: Path):
    shown = client.post("/simulate", json=asked(START["motor"] | GEARS)).json()["motor"]
    said = run(bench, "rewind", "motor.toml", "--load", "load.toml")
    best = said["best"]
    picked = {row["name"]: row["value"].replace("\xa0", " ") for row in shown["picked"]}
    assert picked["Wire"] == f"{best['wire_diameter_mm']:g} mm"
    assert picked["Turns of a coil"] == str(best["turns"])
    assert picked["At no load"] == f"{number(best['volts'])} V direct"
    assert picked["Resistance"] == f"{number(best['resistance_ohm'])} Ω"
    assert picked["Power of the load"] == f"{number(best['load_W'])} W"
    old, rows = shown["wires"]["rows"][:3], shown["wires"]["rows"][3:]
    assert [row[6] for row in old] == [number(option["load_W"]) for option in said["old_coils"]]
    assert old[0][-1].endswith("open the commutator, join them in star, six diodes")
    assert [row[1] for row in rows] == [str(option["turns"]) for option in said["sweep"]]
    assert [row[6] for row in rows] == [number(option["load_W"]) for option in said["sweep"]]
    assert shown["notes"] == [note for note in shown["notes"] if note.replace("\xa0", " ") in said["notes"]]


@pytest.mark.parametrize("turned", [(), ("--rig", "rig.toml")], ids=["at a speed", "on the rig"])
def test_figures_are_those_of_the_command_compare(client: httpx.Client, bench: Path, turned: tuple[str, ...]):
    rig = START["rig"] if turned else {}
    shown = client.post("/simulate", json=asked(START["motor"] | GEARS, rig)).json()["motor"]["beside"]
    said = run(bench, "compare", "layout.toml", "motor.toml", "--load", "load.toml", *turned)["machines"]
    rows = {row[0]: [cell.replace("\xa0", " ") for cell in row[1:]] for row in shown["rows"]}
    assert rows["Volts at the load"] == [f"{number(machine['load_V'])} V direct" for machine in said]
    assert rows["Power of the load"] == [f"{number(machine['load_W'])} W" for machine in said]
    assert rows["From the hand"] == [f"{number(machine['hand_W'])} W" for machine in said]
    assert rows["Built of"] == [machine["built"] for machine in said]
    if turned:
        assert rows["Most force of the hand"] == [f"{number(m['hand_force_N'])} N" for m in said]
    else:
        assert rows["Torque of the hand"] == [f"{number(m['hand_torque_Nm'] * 1e3)} mN·m" for m in said]
    assert [row["words"] for row in shown["good_for"]] == [machine["good_for"] for machine in said]


def test_the_wire_is_picked_for_the_load_by_both_commands(bench: Path):
    for ohms in (0.5, 40):
        load = BridgeResistor(ohms=ohms, drop=DIODES["schottky"])
        (bench / "load.toml").write_text(load_text(load))
        best = run(bench, "rewind", "motor.toml", "--load", "load.toml")["best"]
        built = run(bench, "compare", "motor.toml", "--load", "load.toml")["machines"][0]["built"]
        assert f"{best['turns']} turns, {best['wire_diameter_mm']:g} mm" in built
        if ohms == 0.5:
            thick = best["wire_diameter_mm"]
    assert best["wire_diameter_mm"] < thick


def test_files_to_take_are_the_commands_to_the_byte(client: httpx.Client, bench: Path):
    run(bench, "rewind", "motor.toml", "--load", "load.toml")
    run(bench, "compare", "layout.toml", "motor.toml", "--load", "load.toml", "--rig", "rig.toml")
    written = [name for name in SIMULATION_FILES if not name.endswith(".toml")]
    assert len(written) == 6
    for name in written:
        taken = client.post("/download_simulated", json={"name": name, **asked(START["motor"] | GEARS, START["rig"])})
        assert taken.content == (bench / "out" / name).read_bytes(), name


def faults(answer: httpx.Response) -> dict[str, str]:
    assert answer.status_code == 422, answer.text[:300]
    assert "could not be worked out" not in answer.text
    assert "Traceback" not in answer.text
    return {row["key"]: row["words"] for row in answer.json()["faults"]}


def test_faults_of_rig_and_motor_come_at_once_with_keys_of_the_address(client: httpx.Client):
    wrong = {
        "motor.turns": "0",
        "motor.volts": "-1",
        "gears.1.driver_teeth": "0",
        "gears.1.driven_teeth": "9",
    }
    content = asked(START["motor"] | wrong, START["rig"] | {"mover.cadence_per_minute": "often"})
    found = faults(client.post("/simulate", json=content))
    assert found["motor.motor.turns"] == "must be a whole number of at least 1, was 0"
    assert found["motor.motor.volts"] == "must be above 0, was -1"
    assert found["motor.gears.1.driver_teeth"] == "must be a whole number of at least 1, was 0"
    assert found["rig.mover.cadence_per_minute"].startswith('must be a number, was "often"')


def test_a_motor_that_cannot_be_is_said(client: httpx.Client):
    still = faults(client.post("/simulate", json=asked(START["motor"] | {"turning.shaft_rpm": "0"})))
    assert still["motor.turning"].startswith("shaft_rpm and body_rpm must differ")
    too_many = START["motor"] | {"rewind.wires_mm": "0.56", "rewind.turns": "150"}
    thick = faults(client.post("/simulate", json=asked(too_many)))
    assert "must fit with a wire at hand" in thick["motor.rewind.turns"]
    none = client.post("/download_simulated", json={"name": "motor.toml", **asked({})})
    assert faults(none) == {"": "tick “a rewound motor beside it” first"}
    assert client.post("/download_simulated", json={"name": "../motor.toml", **asked({})}).status_code == 404
    assert client.post("/simulate", json=asked({}) | {"motor": "x"}).status_code == 422


odd = st.one_of(
    st.text(max_size=30),
    st.sampled_from(["", "0", "-1", "1e308", "1e-308", "nan", "inf", "9" * 400, '"; [x]\na = 1', "0x10", "true"]),
    st.sampled_from(["0.1, x", ",", "0.1, 0.3", "star", "delta-bridge"]),
    st.floats(1e-3, 1e5).map(lambda value: f"{value:.6g}"),
    st.integers(-10, 10**6).map(str),
)  # fmt: skip
KEYS = [
    *START["motor"], *GEARS, "rewind.turns", "rewind.diode", "motor.brushes_ohm", "motor.resistance_ohm",
    "motor.speed_constant_rpm_per_V", "motor.slot_area_mm2",
    "motor.inductance_mH", "rewind.load_ohm", "prices.magnet", "gears", "motor", "a.b.c.d.e.f", "motor.motor.turns",
]  # fmt: skip


@pytest.fixture
def studied_once(once: Callable[..., None]) -> None:
    """What the design itself gives the load is the same whatever the motor."""
    once("study_load", simulation, arguments=2)


@settings(max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(values=st.dictionaries(st.sampled_from(KEYS), odd, min_size=1, max_size=3))
@pytest.mark.usefixtures("studied_once")
def test_any_values_of_a_motor_are_used_or_refused(values: dict[str, str]):
    content = json.dumps(asked(START["motor"] | values))  # texts that are not UTF-8 can be said in JSON alone
    shown, refused = None, list[tuple[str, str]]()
    try:
        shown = simulation.simulate(json.loads(content))
    except Refused as reasons:
        refused = reasons.rows
    assert shown is not None or refused
    assert all(words and (key == "" or key.startswith("motor")) for key, words in refused)
    if shown is not None:
        json.dumps(shown, allow_nan=False)
        assert len(shown["motor"]["beside"]["good_for"]) == 2


@settings(max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    content=st.dictionaries(
        st.sampled_from(["name", "design", "load", "rig", "motor"]), st.text(max_size=9) | st.just({})
    )
)
def test_a_file_is_asked_for_as_it_should_be(client: httpx.Client, content: dict[str, Any]):
    assert 400 <= client.post("/download_simulated", json=content).status_code < 500
