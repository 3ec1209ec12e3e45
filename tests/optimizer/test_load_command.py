"""polepitch load, as people run it."""

import json
import subprocess
import sys

import pytest
from layouts import lantern_layout

from geometry.machine.layout_file import layout_text

pytestmark = pytest.mark.slow

LOAD = '[load]\nkind = "bridge-capacitor"\nresistance_ohm = 10\ncapacitance_uF = 1000\ndiode = "schottky"\n'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "layout.toml").write_text(layout_text(lantern_layout("wedge")), "utf-8")
    (tmp_path / "lamp.toml").write_text(LOAD)
    return tmp_path


def run(folder, *words):
    return subprocess.run(
        [sys.executable, "-c", "from optimizer.cli import main; main()", "load", *words],
        capture_output=True, text=True, cwd=folder, check=False, timeout=60,
        env={"PYTHONPATH": str(__import__("pathlib").Path(__file__).parents[2]), "PATH": ""},
    )  # fmt: skip


def test_json_alone(folder):
    done = run(folder, "layout.toml", "--load", "lamp.toml", "--rpm", "900", "--json", "--out", "made")
    assert (done.returncode, done.stderr) == (0, "")
    values = json.loads(done.stdout)
    point = values["point"]
    parts = point["load_W"] + point["copper_W"] + point["diode_W"] + point["converter_W"] + point["eddy_W"]
    assert point["shaft_W"] == pytest.approx(parts, rel=1e-4)
    lamp = {"kind": "bridge-capacitor", "resistance_ohm": 10.0, "capacitance_uF": 1000.0, "diode": "schottky"}
    assert values["load"] == lamp
    assert (folder / "made" / "load.html").exists()


def test_words(folder):
    done = run(folder, "layout.toml")
    assert done.returncode == 0
    assert "open circuit, at 400 rpm" in done.stdout
    assert "responds to the average" in done.stdout


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("layout.toml", "--load", "none.toml"), "none.toml: must be a TOML file, was not found"),
        (("layout.toml", "--rpm", "0"), "--rpm"),
        (("layout.toml", "--temperature", "nan"), "--temperature"),
        (("layout.toml", "--load", "layout.toml"), "layout.toml: must be a load, was a layout"),
    ],
)
def test_bad_input(folder, words, told):
    done = run(folder, *words, "--out", "made")
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert not (folder / "made").exists()
