"""polepitch template as a person runs it: what it writes, what it says, and that a fault leaves nothing behind."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Protocol
from zipfile import ZipFile

import pytest
import terminal
from click.testing import CliRunner, Result
from layouts import lantern_layout

from geometry.machine.layout_file import layout_text
from optimizer.brief.brief import read_brief
from optimizer.commands.polepitch import polepitch

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]


@pytest.fixture
def layout(tmp_path: Path) -> Path:
    path = tmp_path / "layout.toml"
    path.write_text(layout_text(lantern_layout("round")), encoding="utf-8")
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(polepitch, ["template", *map(str, words)])


class Refused(Protocol):
    """What the program says on standard error when it leaves with 2, asked for a template unless told otherwise."""

    def __call__(self, *words: object, command: str = "template") -> str: ...


@pytest.fixture
def refused(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Refused:
    def told(*words: object, command: str = "template") -> str:
        code, out, err = terminal.run(monkeypatch, capsys, command, *words)
        assert (code, out) == (2, ""), err
        assert "Traceback" not in err
        return err.strip().split("\n\n")[-1]

    return told


def test_a_folder_and_its_list(layout: Path, tmp_path: Path) -> None:
    out = tmp_path / "made" / "pack"
    done = run(layout, "--out", out, "--paper", "letter", "--zip", "--json")
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert told["warnings"] == []
    sizes = {row["name"]: row["bytes"] for row in told["files"]}
    assert sizes == {path.name: path.stat().st_size for path in out.iterdir()}
    with ZipFile(out / "build_pack.zip") as archive:
        assert {f"build_pack/{name}" for name in sizes if name != "build_pack.zip"} == set(archive.namelist())
    assert "--paper Letter" in (out / "README.md").read_text(encoding="utf-8")


def test_a_small_bed_is_a_warning(layout: Path, tmp_path: Path) -> None:
    done = run(layout, "--out", tmp_path / "pack", "--bed", "90x90")
    assert done.exit_code == 0, done.output
    warning = "warning: carrier measures 110.0 × 110.0 mm and does not fit a bed of 90 × 90 mm"
    assert done.stderr.startswith(warning)
    assert "cut into 4 pieces to glue" in done.stderr
    assert "does not fit a bed of 90 × 90 mm" in (tmp_path / "pack" / "README.md").read_text(encoding="utf-8")
    assert "carrier_4_of_4.stl" in done.stdout


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--pocket-clearance", "1.9"],
         "Error: --pocket-clearance: must be a number of millimetres from 0 to 1, was '1.9'"),
        (["--paper", "A3", "--kerf", "nan", "--bed", "90", "--cover", "0"],
         "Error: --paper: must be one of A4, Letter, was 'A3'\n"
         "--kerf: must be a number of millimetres from 0 to 5, was 'nan'\n"
         "--cover: must be a number of millimetres above 0, at most 50, was '0'\n"
         "--bed: must be width x depth in millimetres, such as 220x220, was '90'"),
        (["--kerf", "7"], "Error: --kerf: must be a number of millimetres from 0 to 5, was '7'"),
        (["--kurf", "7"], "Error: --kurf: unknown option; did you mean --kerf?"),
        (["--kerf"], "Error: --kerf: must be followed by a value"),
        (["--zip=1"], "Error: --zip: must be given without a value"),
        (["--cover", "1.3"],
         "Error: --cover (1.3 mm) must leave 0.4 mm of the air gap (1.5 mm) to run in, but with "
         "0.25 mm for glue and the magnets' tolerance left -0.05 mm: take a thinner cover or a larger air gap"),
    ],
)  # fmt: skip
def test_wrong_options(layout: Path, tmp_path: Path, words: list[str], message: str, refused: Refused) -> None:
    assert refused(layout, "--out", tmp_path / "pack", *words) == message
    assert [path.name for path in tmp_path.iterdir()] == ["layout.toml"]


def test_an_impossible_bed(layout: Path, tmp_path: Path, refused: Refused) -> None:
    out = tmp_path / "pack"
    told = refused(layout, "--out", out, "--bed", "40x40")
    assert told.startswith("Error: --bed: carrier measures 110.0 × 110.0 mm")
    assert told.endswith("use a larger bed")
    assert not out.exists()


def test_a_layout_that_does_not_fit_or_is_not_there(layout: Path, tmp_path: Path, refused: Refused) -> None:
    out = tmp_path / "pack"
    crowded = tmp_path / "crowded.toml"
    text = layout_text(lantern_layout("round"))
    crowded.write_text(text.replace("\ncount = 8", "\ncount = 20"), encoding="utf-8")
    assert "crowded.toml:" in (told := refused(crowded, "--out", out))
    assert " must be at least " in told
    assert refused(tmp_path / "none.toml", "--out", out).endswith(
        "none.toml: must be a TOML file, was not found"
    )
    assert not out.exists()


def test_an_output_that_cannot_be_written(layout: Path, refused: Refused) -> None:
    assert refused(layout, "--out", layout) == f"Error: --out: must be a folder, was the file {layout}"


def test_a_narrow_air_gap(tmp_path: Path, refused: Refused) -> None:
    path = tmp_path / "narrow.toml"
    path.write_text(layout_text(lantern_layout("round", air_gap=0.5e-3)), encoding="utf-8")
    told = refused(path, "--out", tmp_path / "pack")
    assert told == "Error: air_gap_mm must be at least 0.85 to take a cover over the magnets, was 0.5"


def test_a_brief_whose_winner_could_not_be_printed_is_refused_before_the_search(
    tmp_path: Path, refused: Refused
) -> None:
    text = (ROOT / "studies" / "lantern" / "brief.toml").read_text(encoding="utf-8")
    brief = tmp_path / "brief.toml"
    thin = text.replace("air_gap_mm = 1.5", "air_gap_mm = 0.5").replace("wall_mm = 2 ", "wall_mm = 0.3 ")
    brief.write_text(thin.replace("rpm = 400", "rpm = 0"), encoding="utf-8")
    told = refused(brief, "--pack", "--out", tmp_path / "out", command="optimize")
    assert [line.partition(": ")[2] for line in told.splitlines()] == [
        "space.wall_mm: must be at least 0.6 for parts to print, was 0.3",
        "space.air_gap_mm: must be at least 0.85 to take a cover over the magnets, was 0.5",
        "speed.rpm: must be at least 1, was 0",
    ]
    assert not (tmp_path / "out").exists()


def test_pack_of_a_winner(tmp_path: Path) -> None:
    text = (ROOT / "studies" / "lantern" / "brief.toml").read_text(encoding="utf-8")
    brief, out = tmp_path / "brief.toml", tmp_path / "out"
    brief.write_text(text.replace("quantity = 16", "quantity = 4"), encoding="utf-8")
    done = CliRunner().invoke(polepitch, ["optimize", str(brief), "--pack", "--out", str(out), "--json"])
    assert done.exit_code == 0, done.output
    assert json.loads(done.stdout)["best"]["magnet_count"] == 4
    pack = out / "pack"
    for name in ("layout.toml", "result.json", "template.dxf"):
        assert (pack / name).read_bytes() == (out / name).read_bytes()
    report = (pack / "report.html").read_text(encoding="utf-8")
    assert "Bill of materials" in report
    assert "Holding the magnets at speed" in report
    assert "Winding card" in (out / "report.html").read_text(encoding="utf-8")
    assert read_brief(pack / "brief.toml") == read_brief(brief)
    assert "polepitch optimize brief.toml --out out --pack" in (pack / "README.md").read_text(
        encoding="utf-8"
    )
