"""The library face: every exported name is what it says, in whatever order names are imported; what a package owes."""

import json
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path
from pkgutil import walk_packages

import pytest
from layouts import lantern_layout

import optimizer
from geometry.drawing.layout_drawing import draw_layout
from geometry.machine.layout_file import layout_text
from geometry.writers.svg import svg_text
from optimizer.search.result import Entry

ROOT = Path(__file__).parent.parent
BRIEF = str(ROOT / "studies" / "lantern" / "brief.toml")
USES = {
    "__version__": "assert {}[0].isdigit() or {} == 'sources'",
    "read_brief": f"assert {{}}({BRIEF!r}).title",
    "brief_from_text": f"assert {{}}(open({BRIEF!r}).read(), 'brief').title",
    "read_layout": "assert {}(LAYOUT).title",
    "layout_text": "from geometry.machine.layout_file import read_layout as read; assert {}(read(LAYOUT))",
    "evaluate": "from geometry.machine.layout_file import read_layout as read; assert {}(read(LAYOUT)).emf_rms_V > 0",
    "optimize": "from optimizer.search.search import optimize as search; assert {} is search",
}
FORKS = """
import json, os, sys
import clarabel, ezdxf, jinja2, matplotlib, numpy, pydantic, scipy.interpolate, scipy.optimize, shapely, tomlkit
import concurrent.futures.process, http.client, pydantic.json_schema, threadpoolctl
known = {{"LAYOUT": {layout!r}}}

def fails(code, then=()):
    child = os.fork()
    if not child:
        wrong = True
        try:
            exec(code, known)
            wrong = any([fails(each) for each in then])
        except BaseException as error:
            print(code, repr(error))
            sys.stdout.flush()
        os._exit(wrong)
    return os.waitpid(child, 0)[1] != 0

sys.exit(any([fails(*each) for each in json.loads(sys.stdin.read())]))
"""  # each first piece of code in a process that knows nothing of ours yet, and each of its seconds in a copy of that


@pytest.mark.slow
def test_names_in_every_order_of_two(tmp_path: Path):
    layout = tmp_path / "layout.toml"
    layout.write_text(layout_text(lantern_layout("wedge")), encoding="utf-8")
    uses = {name: f"from optimizer import {name}\n{USES[name].format(*[name] * 2)}" for name in optimizer.__all__}
    orders = [(code, [f"{other}\n{code}" for other in uses.values() if other != code]) for code in uses.values()]
    assert sum(len(seconds) for _, seconds in orders) == 42
    done = subprocess.run(
        [sys.executable, "-c", FORKS.format(layout=str(layout))],
        cwd=ROOT, input=json.dumps(orders), capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def test_no_module_carries_an_exported_name():
    assert not {module.name for module in walk_packages(optimizer.__path__)} & set(optimizer.__all__)


@pytest.mark.slow
def test_exports_have_types(tmp_path: Path):
    """To a type checker no export is unknown or Any."""
    script = tmp_path / "types.py"
    script.write_text(
        "".join(f"from optimizer import {name}\nreveal_type({name})\n" for name in optimizer.__all__)
    )
    done = subprocess.run(
        [sys.executable, "-m", "pyright", "--outputjson", "--pythonpath", sys.executable, str(script)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    found = json.loads(done.stdout)["generalDiagnostics"]
    types = [each["message"] for each in found if each["severity"] == "information"]
    assert len(types) == len(optimizer.__all__)
    assert not [each for each in found if each["severity"] != "information" or '"Any"' in each["message"]]
    assert not [each for each in types if "Unknown" in each or each.endswith('is "object"')]


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["sdist", "wheel"])
def test_licence_and_type_marks_are_packed(kind: str, tmp_path: Path):
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(tmp_path)],
        cwd=ROOT, capture_output=True, check=True,
    )  # fmt: skip
    (file,) = tmp_path.iterdir()
    if kind == "wheel":
        with zipfile.ZipFile(file) as packed:
            names = packed.namelist()
            (about,) = (name for name in names if name.endswith("METADATA"))
            assert b"License-Expression: MIT" in packed.read(about)
    else:
        with tarfile.open(file) as packed:
            names = packed.getnames()
    for wanted in ("geometry/LICENSE", "geometry/py.typed", "optimizer/py.typed"):
        assert any(name.endswith(wanted) for name in names), wanted


def test_release_notes_tell_of_this_version():
    version = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert f"### {version}" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_a_machine_of_an_answer_shows_itself():
    layout = lantern_layout()
    shown = Entry(optimizer.evaluate(layout))._repr_svg_()
    assert shown == svg_text(draw_layout(layout))
