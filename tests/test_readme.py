"""The README: every key of every kind of file is named there, and its notebook code runs."""

import re
from pathlib import Path
from types import UnionType
from typing import Any, Union, get_args, get_origin

import pytest

from geometry.files.key_tables import Table
from geometry.machine.layout_file import layout_from_text
from optimizer.brief.brief_tables import BriefTable
from optimizer.loads.load_file import LoadTable
from optimizer.motors.motor_tables import SpecTable
from optimizer.rigs.rig_tables import RigTable

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
NAMED = set(re.findall(r"[A-Za-z_]\w*", " ".join(re.findall(r"`[^`\n]+`", README))))


def keys(table: type[Table]) -> set[str]:
    """Every key that a kind of file may hold, tables within tables included."""
    found: set[str] = set()
    for name, field in table.model_fields.items():
        found.add(field.alias or name)
        for inner in tables_in(field.annotation):
            found |= keys(inner)
    return found


def tables_in(annotation: Any) -> list[type[Table]]:
    """The tables that an annotation names, in lists and unions too."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return [annotation]
    if get_origin(annotation) in (list, Union, UnionType):
        return [table for part in get_args(annotation) for table in tables_in(part)]
    return []


@pytest.mark.parametrize("table", [BriefTable, LoadTable, RigTable, SpecTable])
def test_every_key_is_named(table: type[Table]):
    assert keys(table) - NAMED == set()


def test_every_key_of_a_layout_is_named():
    text = (ROOT / "studies" / "single_or_three_phase" / "three_phases.toml").read_text(encoding="utf-8")
    assert layout_from_text(text, "layout").phases == 3
    written = set(re.findall(r"^(\w+) =", text, re.M)) | set(re.findall(r"^\[([\w.]+)\]", text, re.M))
    assert {part for name in written for part in name.split(".")} - NAMED == set()


@pytest.mark.search
def test_notebook_code_runs(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(ROOT)
    short, long = re.findall(r"```python\n(.+?)```", README, re.S)
    names: dict[str, Any] = {}
    exec(short, names)
    exec(long, names | {"__name__": "__not_main__"})
    (printed,) = re.findall(r"emf_rms_V   # (\S+)", short)
    assert names["result"].best.figures.emf_rms_V == pytest.approx(float(printed), rel=0.01)


def test_accuracy_is_what_the_tests_ask_for():
    (promised,) = re.findall(r"exported filaments within (\S+) %", README)
    source = (ROOT / "tests" / "physics" / "test_brute_force.py").read_text(encoding="utf-8")
    (asked,) = re.findall(r"^TOLERANCE = (\S+)", source, re.M)
    assert float(promised) == pytest.approx(100 * float(asked))
