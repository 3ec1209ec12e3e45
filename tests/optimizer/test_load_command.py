"""polepitch load, as people run it."""

import json

import pytest
import terminal
from layouts import lantern_layout

from geometry.machine.layout_file import layout_text

pytestmark = pytest.mark.slow

LOAD = '[load]\nkind = "bridge-capacitor"\nresistance_ohm = 10\ncapacitance_uF = 1000\ndiode = "schottky"\n'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "layout.toml").write_text(layout_text(lantern_layout("wedge")), "utf-8")
    (tmp_path / "lamp.toml").write_text(LOAD)
    return tmp_path


@pytest.fixture
def run(folder, monkeypatch, capsys):
    """Runs `polepitch load` in the folder: exit code, standard output, standard error."""
    monkeypatch.chdir(folder)
    return lambda *words: terminal.run(monkeypatch, capsys, "load", *words)


def test_json_alone(folder, run):
    code, out, err = run("layout.toml", "--load", "lamp.toml", "--rpm", "900", "--json", "--out", "made")
    assert (code, err) == (0, "")
    values = json.loads(out)
    point = values["point"]
    parts = point["load_W"] + point["copper_W"] + point["diode_W"] + point["converter_W"] + point["eddy_W"]
    assert point["shaft_W"] == pytest.approx(parts, rel=1e-4)
    lamp = {"kind": "bridge-capacitor", "resistance_ohm": 10.0, "capacitance_uF": 1000.0, "diode": "schottky"}
    assert values["load"] == lamp
    assert (folder / "made" / "load.html").exists()


def test_words(run):
    code, out, _ = run("layout.toml")
    assert code == 0
    assert "open circuit, at 400 rpm" in out
    assert "responds to the average" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("layout.toml", "--load", "none.toml"), "none.toml: must be a TOML file, was not found"),
        (("layout.toml", "--rpm", "0"), "--rpm"),
        (("layout.toml", "--temperature", "nan"), "--temperature"),
        (("layout.toml", "--load", "layout.toml"), "layout.toml: must be a load, was a layout"),
    ],
)
def test_bad_input(folder, run, words, told):
    code, _, err = run(*words, "--out", "made")
    assert code == 2
    assert told in err
    assert "Traceback" not in err
    assert not (folder / "made").exists()
