"""Wrong files on the command line: exit code 2, every fault in words, nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest
from layouts import lantern_layout
from terminal import LANTERN, run

from geometry.machine.layout_file import layout_text

WRONG = {
    "odd count": ("count = 8", "count = 7", "carrier.count: must be an even number of at least 2, was 7"),
    "does not fit": ("pitch_radius_mm = 40", "pitch_radius_mm = 49", "(2.5 mm off)"),
}


def wrong_layout(case: str) -> str:
    old, new, _ = WRONG[case]
    text = layout_text(lantern_layout())
    lines = []
    for line in text.splitlines():
        key = old.split(" = ")[0]
        lines.append(new if line.split("=")[0].strip() == key else line)
    return "\n".join(lines)


@pytest.mark.parametrize("case", sorted(WRONG))
def test_a_wrong_layout_ends_with_2_and_words(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "l.toml").write_text(wrong_layout(case), encoding="utf-8")
    words = ("evaluate", tmp_path / "l.toml", "--json", "--filaments", tmp_path / "f.json")
    code, out, err = run(monkeypatch, capsys, *words)
    assert (code, out) == (2, "")
    assert "l.toml:" in err
    assert not (tmp_path / "f.json").exists()


BRIEFS = {
    "bore larger than disc": (
        "bore_diameter_mm = 30",
        "bore_diameter_mm = 120",
        "space.bore_diameter_mm: must be less than",
    ),
    "negative size": ("diameter_mm = 15", "diameter_mm = -15", "magnets[1].diameter_mm: must be"),
    "unknown grade": ('"N42"', '"N43"', "magnets[1].grade: must be one of N35"),
    "not a number": ("rpm = 400", "rpm = nan", "speed.rpm: must be a finite number, was nan"),
    "absurd unit": (
        "outer_diameter_mm = 110",
        "outer_diameter_mm = 20000",
        "must be at most 2000 (are the units millimetres?)",
    ),
    "misspelt key": ("length_m = 60", "lenght_m = 60", "wire.lenght_m: unknown key; did you mean length_m?"),
    "text for a number": ("rpm = 400", 'rpm = "400"', 'speed.rpm: must be a number, was "400"'),
}


@pytest.mark.parametrize("case", sorted(BRIEFS))
def test_a_wrong_brief_ends_with_2_names_line_and_key_and_writes_nothing(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new, words = BRIEFS[case]
    text = LANTERN.read_text(encoding="utf-8").replace(old, new, 1)
    (tmp_path / "b.toml").write_text(text, encoding="utf-8")
    line = next(n for n, row in enumerate(text.splitlines(), 1) if new in row)
    code, out, err = run(
        monkeypatch, capsys, "optimize", tmp_path / "b.toml", "--out", tmp_path / "out", "--json"
    )
    assert (code, out) == (2, "")
    assert f"b.toml:{line}: " in err
    assert words in err
    assert [path.name for path in tmp_path.iterdir()] == ["b.toml"]


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("empty.toml", b"", "was empty"),
        ("binary.toml", bytes(range(256)), "must be"),
        ("none.toml", None, "none.toml"),
    ],
)
def test_what_is_no_brief_at_all(
    name: str, content: bytes | None, words: str,
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    if content is not None:
        (tmp_path / name).write_bytes(content)
    code, out, err = run(monkeypatch, capsys, "optimize", tmp_path / name, "--out", tmp_path / "out")
    assert (code, out) == (2, "")
    assert words in err
    code, _, err = run(monkeypatch, capsys, "optimize", tmp_path, "--out", tmp_path / "out")
    assert code == 2
    assert "folder" in err or "directory" in err
    assert not (tmp_path / "out").exists()


STUDIES = LANTERN.parents[1]
KINDS = {
    "a layout": STUDIES / "pump_flywheel" / "layout.toml",
    "a brief": LANTERN,
    "a rig": STUDIES / "pump_flywheel" / "rig.toml",
    "a motor": STUDIES / "rewound_motor" / "motor.toml",
    "a load": LANTERN.parent / "load.toml",
    "a list of prices": LANTERN.parent / "prices.toml",
}
DUE: dict[str, list[str | Path]] = {
    "a layout": ["evaluate"],
    "a brief": ["sweep", "--over", "space.wall_mm=2,3"],
    "a rig": ["drive", KINDS["a layout"]],
    "a motor": ["rewind"],
    "a load": ["load", KINDS["a layout"], "--load"],
    "a list of prices": ["compare", KINDS["a layout"], "--prices"],
}


@pytest.mark.parametrize("was", KINDS)
@pytest.mark.parametrize("due", DUE)
def test_a_file_of_another_kind_is_called_by_its_name(
    due: str, was: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    if due != was and not (due == "a list of prices" and was == "a motor"):  # which holds [prices] as well
        expected = f"{KINDS[was]}: must be {due}, was {was}\n"
        assert run(monkeypatch, capsys, *DUE[due], KINDS[was]) == (2, "", expected)


OPTIONS: dict[str, list[str | Path]] = {
    "--rpm: must be a number from 1 to 20000, was 0": ["load", KINDS["a layout"], "--rpm", "0"],
    "--rpm: must be a number from 1 to 20000, was fast": ["load", KINDS["a layout"], "--rpm", "fast"],
    "--rpm: must be a number from 1 to 20000, was nan": ["load", KINDS["a layout"], "--rpm", "nan"],
    "--points: must be a whole number from 2 to 1000, was 1": ["sweep", LANTERN, "--points", "1"],
    "--workers: must be a whole number from 1 to 512, was 1.5": ["sweep", LANTERN, "--workers", "1.5"],
    "--out: must be a path, was empty": ["optimize", LANTERN, "--out", ""],
    "LAYOUT: must be a path, was empty": ["evaluate", ""],
    "--over: a sweep's values must be finite numbers or texts, was nan": ["sweep", LANTERN, "--over", "speed.rpm=nan"],
}  # fmt: skip


@pytest.mark.parametrize("words", OPTIONS)
def test_an_option_out_of_range_says_its_range(
    words: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(monkeypatch, capsys, *OPTIONS[words])
    assert (code, out) == (2, "")
    assert err.endswith(f"{words}\n")
