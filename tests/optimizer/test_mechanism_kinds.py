"""Each mechanism answers for itself: its file, run, words and form come from its own class and its row alone."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from rigs import BARE, OhmicTorque

from optimizer.answers.forms import forms
from optimizer.rigs.hand_drive import drive_against
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.rig_file import rig_from_text, rig_text
from optimizer.words.drive_words import run_lines

HERE = Path(__file__).parent
README = (HERE.parents[1] / "README.md").read_text("utf-8")


@pytest.mark.parametrize("name", MECHANISMS)
def test_a_mechanism_is_read_written_driven_and_asked_for(name: str):
    kind = MECHANISMS[name]
    asked = {
        key.removeprefix(f"mechanism.{name}."): field
        for key, field in forms()["fields"]["rig"].items()
        if key.startswith(f"mechanism.{name}.")
    }
    rows = [f"{key} = {field['start']}" for key, field in asked.items() if "start" in field]
    text = "\n".join([f"[mechanism.{name}]", *rows, "[mover]", "cadence_per_minute = 50", ""])
    rig = rig_from_text(text + "[flywheel]\ninertia_kg_m2 = 0.01\n", "rig.toml")
    assert type(rig.mechanism) is kind
    assert rig_from_text(rig_text(rig), "again.toml") == rig
    run = drive_against(OhmicTorque(), rig, BARE, 10.0)
    assert run.settled.load_watts > 0
    assert abs(run.energies.imbalance) < 1e-9
    assert f"{kind.BEATS} a minute" in " ".join(run_lines(run))
    assert forms()["mechanisms"][name] == kind.LABEL
    assert all(f"`mechanism.{name}.{key}`" in README for key in asked)


@pytest.fixture(scope="module")
def made_up() -> dict[str, Any]:
    """What a fresh interpreter makes of a mechanism that has a class and a row, and no other line anywhere."""
    paths = os.pathsep.join([str(HERE.parents[1]), str(HERE.parent)])
    done = subprocess.run(
        [sys.executable, str(HERE / "made_up_mechanism.py")],
        capture_output=True, text=True, check=True, env=os.environ | {"PYTHONPATH": paths},
    )  # fmt: skip
    return json.loads(done.stdout)


def test_files_take_a_made_up_mechanism(made_up: dict[str, Any]):
    assert made_up["same"]
    assert "lever_mm = 300    # from hinge to foot" in made_up["text"]
    assert "mechanism.treadle.lever_mm: must be at least 0.1, was 0" in made_up["faults"]
    assert "exactly one of the tables crank, cord, pump, spin and treadle, was none of them" in made_up["none"]
    assert "| `mechanism.treadle.efficiency` | of the strap | above 0 to 1 | 0.9 |" in made_up["readme"]


def test_a_run_and_its_words_take_it(made_up: dict[str, Any]):
    assert made_up["strokes"] > 20
    assert made_up["watts"] > 0
    assert "treads a minute" in " ".join(made_up["words"])


def test_the_page_asks_for_it(made_up: dict[str, Any]):
    assert made_up["choices"]["treadle"] == "a rocked board with a strap"
    assert made_up["field"] == {"label": "Hinge to foot", "unit": "mm", "start": "300"}
