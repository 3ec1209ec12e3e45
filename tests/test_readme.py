"""The README: its tables of keys are those of the files, and its notebook code runs."""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from readme_tables import SECTIONS, with_tables

from geometry.files.key_tables import Table
from geometry.files.schema import json_schema, key_entries

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
FILES = {
    "The brief": "studies/lantern/brief.toml",
    "The layout": "studies/single_or_three_phase/three_phases.toml",
    "The rig": "studies/pump_flywheel/rig.toml",
    "The motor": "studies/rewound_motor/motor.toml",
}


def test_tables_of_keys_are_those_of_the_files():
    """To mend it: PYTHONPATH=.:tests python -m readme_tables."""
    assert with_tables(README) == README


def test_a_table_that_differs_is_seen():
    assert with_tables(README.replace("| `speed.rpm` |", "| `speed.rps` |")) == README


@pytest.mark.parametrize("table", SECTIONS.values(), ids=SECTIONS)
def test_every_key_has_a_meaning_and_a_label(table: type[Table]):
    for entry in key_entries(table):
        assert entry.meaning, entry.name
        assert entry.label[:1].strip(), entry.name


@pytest.mark.parametrize("section", FILES)
def test_an_editor_knows_every_key_of_a_file(section: str):
    schema = json_schema(SECTIONS[section], section)
    held = tomllib.loads((ROOT / FILES[section]).read_text(encoding="utf-8"))
    assert list(unknown(held, schema, schema["$defs"])) == []
    assert list(unknown({"titel": 1}, schema, schema["$defs"])) == ["titel"]


def unknown(held: Any, schema: dict[str, Any], parts: dict[str, Any]) -> Iterator[str]:
    """The keys of a file that its schema does not have, or whose numbers are beyond the schema's limits."""
    for option in schema.get("anyOf", [schema]):
        schema = schema | option
    if "$ref" in schema:
        schema = parts[schema["$ref"].rsplit("/", 1)[-1]]
    if isinstance(held, list):
        for entry in held:
            yield from unknown(entry, schema["items"], parts)
    if isinstance(held, int | float) and not schema.get("minimum", 0) <= held <= schema["maximum"]:
        yield str(schema.get("title"))
    if isinstance(held, dict):
        for key, value in held.items():
            inner = schema["properties"].get(key)
            if inner is None:
                yield key
            else:
                yield from unknown(value, inner, parts)


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
