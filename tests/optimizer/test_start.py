"""What a command loads before it begins: help must come at once, and figures of one machine nearly so."""

from __future__ import annotations

import json
import subprocess
import sys

from terminal import ROOT

from optimizer.commands.polepitch import COMMANDS

HEAVY = {
    "clarabel", "ezdxf", "jinja2", "magpylib", "manifold3d", "matplotlib", "numpy", "pydantic", "reportlab", "rich",
    "scipy", "shapely", "starlette", "tomlkit", "uvicorn",
}  # fmt: skip
BARE = {"optimizer.cli", "optimizer.commands", "optimizer.terminal", "optimizer.jobs", "optimizer.jobs.output"}
"""What of ours `--help` may load, beside the commands themselves and what is in the room of the terminal."""

CALLS = """
import contextlib, io, json, sys
from optimizer.cli import main
loaded = []
for words in json.loads(sys.argv[1]):
    sys.argv = ["polepitch", *words]
    with contextlib.redirect_stdout(io.StringIO()):
        try:
            main()
        except SystemExit as left:
            assert not left.code
    loaded.append(sorted(sys.modules))
print(json.dumps(loaded))
"""


def loaded_by(*calls: list[str]) -> list[set[str]]:
    """The modules loaded after each of the calls of `polepitch`, one after another in one fresh process."""
    done = subprocess.run(
        [sys.executable, "-c", CALLS, json.dumps(calls)], cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True
    )
    return [set(names) for names in json.loads(done.stdout)]


def test_help_loads_nothing_that_takes_time():
    for names in loaded_by(["--help"], *([name, "--help"] for name in COMMANDS)):
        assert not {name.split(".")[0] for name in names} & HEAVY
        ours = {name for name in names if name.startswith(("geometry.", "optimizer."))}
        assert ours - BARE == {name for name in ours if name.startswith(("optimizer.commands.", "optimizer.terminal."))}


def test_figures_of_a_machine_take_numbers_and_files_alone():
    """Reading the file takes pydantic and computing takes numpy; no load, no solid and no search comes along."""
    (names,) = loaded_by(["evaluate", "optimizer/starters/layout.toml"])
    assert "optimizer.evaluation.chain" in names
    assert {name.split(".")[0] for name in names} & HEAVY == {"numpy", "pydantic"}
    rooms = {".".join(name.split(".")[:2]) for name in names if name.startswith("optimizer.")}
    assert rooms == {
        "optimizer.cli", "optimizer.commands", "optimizer.terminal", "optimizer.jobs", "optimizer.numerics",
        "optimizer.field", "optimizer.evaluation", "optimizer.circuit", "optimizer.loads", "optimizer.words",
    }  # fmt: skip
    assert not {"optimizer.circuit.loads", "optimizer.loads.load_study", "optimizer.words.loads"} & names


def test_a_machine_with_a_load_takes_no_scipy():
    (names,) = loaded_by(["load", "optimizer/starters/layout.toml"])
    assert "optimizer.loads.load_study" in names
    assert {name.split(".")[0] for name in names} & HEAVY == {"numpy", "pydantic"}


def test_the_page_is_served_and_previews_without_what_searches_and_writes():
    code = "import json, sys; from optimizer.{} import {}; print(json.dumps(sorted(sys.modules)))"
    for where, name in (("page.app", "serve"), ("answers.preview", "preview")):
        done = subprocess.run(
            [sys.executable, "-c", code.format(where, name)], cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True
        )
        loaded = {module.split(".")[0] for module in json.loads(done.stdout)} & HEAVY
        assert loaded <= {"numpy", "pydantic", "shapely", "starlette", "uvicorn"}
