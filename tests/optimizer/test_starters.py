"""Files to begin with: each runs as it is, and what it may also hold stands where it belongs; schemas for editors."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from layouts import lantern_layout
from terminal import ROOT, run

from geometry.files.reading import FileFaults, kind_of_file, table_from_text
from geometry.files.schema import json_schema
from geometry.machine.layout_file import layout_text
from optimizer.brief.brief import read_brief
from optimizer.evaluation.chain import evaluate
from optimizer.starters.file_kinds import FILE_KINDS, example_text
from optimizer.starters.starter import brief_of, starter_text
from optimizer.terminal.options import FILE_KINDS as OFFERED

OPTION = re.compile(r"^# (\w+) = (\S.*?)?  # ", re.MULTILINE)
BUNDLED = sorted({*ROOT.glob("studies/*/*.toml"), *ROOT.glob("tests/common_practice/*.toml")})


@pytest.fixture
def begun(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> dict[str, Path]:
    """A starter of every kind, as the command writes it."""
    paths = {kind: tmp_path / f"{kind}.toml" for kind in FILE_KINDS}
    for kind, path in paths.items():
        code, out, err = run(monkeypatch, capsys, "new", kind, path)
        assert (code, err) == (0, "")
        assert str(path) in out
    return paths


def test_every_kind_is_offered() -> None:
    assert tuple(FILE_KINDS) == OFFERED


@pytest.mark.slow
def test_starters_run_as_they_are(
    begun: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for words in (
        ("evaluate", begun["layout"]),
        ("load", begun["layout"], "--load", begun["load"]),
        ("drive", begun["layout"], begun["rig"]),
        ("rewind", begun["motor"]),
        ("compare", begun["layout"], begun["motor"], "--prices", begun["prices"]),
    ):
        code, out, err = run(monkeypatch, capsys, *words, "--json")
        assert (code, err) == (0, "")
        assert json.loads(out)
    assert read_brief(begun["brief"]).magnets[0].quantity == 16


@pytest.mark.search
def test_the_brief_s_starter_runs_as_it_is(
    begun: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(monkeypatch, capsys, "optimize", begun["brief"], "--out", tmp_path / "out", "--json")
    assert code == 0
    assert json.loads(out)["best"]["emf_rms_V"] > 8.5


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_what_it_may_also_hold_stands_in_its_own_table(kind: str) -> None:
    """Each comment that has a value, taken out of its comment, is a known key that its value suits."""
    text = starter_text(kind)
    options = [match for match in OPTION.finditer(text) if match[2] and _header_given(text, match.start())]
    assert len(options) >= {"prices": 0, "motor": 1}.get(kind, 2)
    for option in options:
        line = f"{option[1]} = {option[2]}  # "
        told = _told(text[: option.start()] + line + text[option.end() :], kind)
        assert not told or "must be left out" in told  # of another kind of load: known, though not of this one


def _told(text: str, kind: str) -> str:
    """What is wrong with a file; empty for nothing."""
    try:
        table_from_text(text, "file", FILE_KINDS[kind])
    except FileFaults as faults:
        return str(faults)
    return ""


def _header_given(text: str, place: int) -> bool:
    """Whether the table around a place in a text is no comment itself."""
    headers = re.findall(r"^(#? ?)\[+[\w.]+\]+", text[:place], re.MULTILINE)
    return not (headers and headers[-1].startswith("#"))


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_every_key_is_shown(kind: str) -> None:
    text = starter_text(kind)
    properties = json_schema(FILE_KINDS[kind], kind)
    for part in (properties, *properties["$defs"].values()):
        for name, what in part.get("properties", {}).items():
            if kind not in ("brief", "rig") or (part.get("title") != "Load" and name not in _LOAD_KEYS):
                assert re.search(rf"\b{name}\b", text), (name, what)


_LOAD_KEYS = frozenset(json_schema(FILE_KINDS["load"], "load")["$defs"]["LoadTable"]["properties"])


def test_nothing_is_overwritten_untold(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "brief.toml"
    path.write_text("mine", encoding="utf-8")
    code, out, err = run(monkeypatch, capsys, "new", "brief", path)
    assert (code, out) == (2, "")
    assert err.strip() == f"FILE: must be a new file, but {path} is there: name another, or give --overwrite"
    assert path.read_text("utf-8") == "mine"
    code, out, _ = run(monkeypatch, capsys, "new", "brief", path, "--overwrite", "--json")
    assert (code, json.loads(out)) == (0, {"kind": "brief", "file": str(path)})
    assert path.read_text("utf-8") == starter_text("brief")


def test_a_brief_is_filled_from_a_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    layout = lantern_layout(arrangement="facing", height=0.004)
    (tmp_path / "layout.toml").write_text(layout_text(layout), encoding="utf-8")
    words = ("new", "brief", tmp_path / "brief.toml", "--from", tmp_path / "layout.toml")
    assert run(monkeypatch, capsys, *words)[0] == 0
    brief = read_brief(tmp_path / "brief.toml")
    assert brief == brief_of(layout)
    assert (brief.magnets[0].magnet, brief.magnets[0].quantity) == (layout.carrier.magnet, 16)
    needed = evaluate(layout).wire_needed_m
    assert brief.length is not None
    assert needed <= brief.length < needed + 0.1
    assert (brief.wires, brief.coil_height, brief.arrangement) == ((layout.winding.wire,), 0.004, "facing")
    assert brief.topologies[0] == "serpentine"
    thin = replace(layout, winding=replace(layout.winding, height=0.6e-3, turns=5))
    assert brief_of(thin).least_layers == 2  # 0.6 mm hold two wires of 0.281 mm
    for peg, least in ((1e-3, 1e-3), (4e-3, 1.5e-3)):  # a thicker one was chosen, not asked for
        assert brief_of(replace(layout, winding=replace(layout.winding, peg_radius=peg))).peg_radius == least
    code, _, err = run(monkeypatch, capsys, "new", "load", tmp_path / "l.toml", "--from", tmp_path / "layout.toml")
    assert code == 2
    assert "--from: must be left out unless KIND is brief, was" in err


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_the_schema_takes_its_starter_and_refuses_what_is_wrong(
    kind: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(monkeypatch, capsys, "schema", kind)
    schema = json.loads(out)
    Draft202012Validator.check_schema(schema)
    assert (code, schema["title"]) == (0, f"polepitch {kind}")
    check = Draft202012Validator(schema)
    held = tomllib.loads(starter_text(kind))
    assert [error.message for error in check.iter_errors(held)] == []
    for wrong in (held | {"titel": "x"}, held | {next(iter(held)): 7}, {}):
        assert list(check.iter_errors(wrong))


@pytest.mark.parametrize("path", BUNDLED, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_schemas_take_every_bundled_file(path: Path) -> None:
    held: dict[str, Any] = tomllib.loads(path.read_text("utf-8"))
    words = kind_of_file(held)
    assert words is not None
    schema = json_schema(FILE_KINDS[words.split()[-1]], "file")
    assert [error.message for error in Draft202012Validator(schema).iter_errors(held)] == []


def test_the_examples_are_the_page_s_and_the_studies() -> None:
    assert "[[magnets]]" in example_text("brief")
    with pytest.raises(KeyError):
        example_text("secret")
