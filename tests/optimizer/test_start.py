"""What a command loads before it begins: help must come at once, and figures of one machine nearly so."""

from __future__ import annotations

import json
import subprocess
import sys

from terminal import ROOT

from optimizer.commands.polepitch import polepitch

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
    with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
        main()
    loaded.append(sorted(sys.modules))
print(json.dumps(loaded))
"""


def loaded_by(*calls: list[str]) -> list[set[str]]:
    """The modules loaded after each of the calls of `polepitch`, one after another in one fresh process."""
    done = subprocess.run(
        [sys.executable, "-c", CALLS, json.dumps(calls)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [set(names) for names in json.loads(done.stdout)]


def test_help_loads_nothing_that_takes_time():
    for names in loaded_by(["--help"], *([name, "--help"] for name in polepitch.commands)):
        assert not {name.split(".")[0] for name in names} & HEAVY
        ours = {name for name in names if name.startswith(("geometry.", "optimizer."))}
        assert ours - BARE == {name for name in ours if name.startswith(("optimizer.commands.", "optimizer.terminal."))}
