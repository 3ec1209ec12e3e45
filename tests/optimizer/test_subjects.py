"""A folder is about one machine: files of another are refused, and nobody's own file is overwritten."""

from dataclasses import replace
from pathlib import Path

import pytest
from layouts import lantern_layout
from terminal import LANTERN, run

from geometry.machine.layout_file import layout_text
from optimizer.brief.brief import brief_text, read_brief
from optimizer.jobs.output import OutputFault, check_places, write_folder
from optimizer.loads.load_file import load_from_text, load_text
from optimizer.terminal.subjects import require_no_other_layout, require_own

ONE, OTHER = layout_text(lantern_layout()).encode(), layout_text(lantern_layout(turns=41)).encode()


def test_another_layout_is_refused(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_bytes(ONE)
    with pytest.raises(OutputFault) as fault:
        require_own(tmp_path, {"report.html": b"", "layout.toml": OTHER})
    assert str(fault.value) == (
        f"--out: must be a folder without files of another machine, but {tmp_path} holds those of the machine in "
        "layout.toml: name another folder, or empty this one first"
    )


def test_the_same_layout_stays_with_its_comments(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_bytes(b"# my own words\n" + ONE)
    assert require_own(tmp_path, {"report.html": b"", "layout.toml": ONE}) == {"report.html": b""}


def test_what_is_no_layout_is_refused(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_text("shopping list", "utf-8")
    with pytest.raises(OutputFault, match="another machine"):
        require_own(tmp_path, {"layout.toml": ONE})


def test_the_pack_inside_counts_too(tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    (tmp_path / "pack" / "layout.toml").write_bytes(ONE)
    with pytest.raises(OutputFault, match=r"pack holds those of the machine in layout\.toml"):
        require_own(tmp_path, {"pack/layout.toml": OTHER})


def test_a_load_of_ours_gives_way_and_one_by_hand_does_not(tmp_path: Path) -> None:
    ours, other = (f'[load]\nkind = "resistor"\nresistance_ohm = {ohms}\n' for ohms in (10, 20))
    (tmp_path / "load.toml").write_text(f"# by hand\n{ours}", "utf-8")
    first, second = (load_text(load_from_text(text, "")).encode() for text in (ours, other))
    with pytest.raises(OutputFault, match="another load"):
        require_own(tmp_path, {"load.toml": second})
    (tmp_path / "load.toml").write_bytes(first)
    assert require_own(tmp_path, {"load.toml": second}) == {"load.toml": second}


def test_comparisons_and_motors_keep_out_of_a_machines_folder(tmp_path: Path) -> None:
    (tmp_path / "layout.toml").write_bytes(ONE)
    require_no_other_layout(tmp_path, [lantern_layout(turns=41), lantern_layout()])
    require_no_other_layout(None)
    with pytest.raises(OutputFault, match="another machine"):
        require_no_other_layout(tmp_path, [lantern_layout(turns=41)])
    with pytest.raises(OutputFault, match="another machine"):
        require_no_other_layout(tmp_path)


@pytest.mark.parametrize(
    ("there", "name", "words"),
    [
        ("plots", "plots/a.png", "plots must be a folder, was a file"),
        ("plots", "plots/deep/a.png", "plots must be a folder, was a file"),
        ("a.txt/", "a.txt", "a.txt must be a file, was a folder"),
    ],
)
def test_a_place_that_is_taken_is_named_before_anything_is_written(
    tmp_path: Path, there: str, name: str, words: str
) -> None:
    if there.endswith("/"):
        (tmp_path / there).mkdir()
    else:
        (tmp_path / there).write_text("mine", "utf-8")
    with pytest.raises(OutputFault, match=words):
        check_places(tmp_path, [name])
    with pytest.raises(OutputFault, match=words):
        write_folder(tmp_path, {"0.txt": b"", name: b""})
    assert [path.name for path in tmp_path.iterdir()] == [there.rstrip("/")]


@pytest.mark.parametrize("taken", ["plots", "brief.toml"])
def test_optimize_says_so_before_the_search(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], taken: str
) -> None:
    def searched(*_: object) -> None:
        raise AssertionError("the search has begun")

    monkeypatch.setattr("optimizer.search.search.optimize", searched)
    out, brief = tmp_path / "out", read_brief(LANTERN)
    out.mkdir()
    (out / taken).write_text(brief_text(replace(brief, speed_rpm=brief.speed_rpm + 1)), "utf-8")
    code, _, told = run(monkeypatch, capsys, "optimize", LANTERN, "--out", out)
    assert code == 2
    assert str(out) in told
    assert [path.name for path in out.iterdir()] == [taken]


def everything(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.slow
@pytest.mark.parametrize("command", ["template", "load"])
def test_commands_refuse_another_machines_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    for name, content in (("one.toml", ONE), ("other.toml", OTHER)):
        (tmp_path / name).write_bytes(content)
    out = tmp_path / "out"
    assert run(monkeypatch, capsys, command, tmp_path / "one.toml", "--out", out)[0] == 0
    before = everything(out)
    code, _, told = run(monkeypatch, capsys, command, tmp_path / "other.toml", "--out", out)
    assert code == 2
    assert f"but {out} holds those of the machine in layout.toml" in told
    assert run(monkeypatch, capsys, command, tmp_path / "one.toml", "--out", out)[0] == 0
    assert everything(out) == before


def test_filaments_overwrite_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "layout.toml"
    path.write_bytes(ONE)
    code, _, told = run(monkeypatch, capsys, "evaluate", path, "--filaments", path)
    assert code == 2
    assert "--filaments: must be a new file or one of the same kind" in told
    assert path.read_bytes() == ONE
    for _ in range(2):
        assert run(monkeypatch, capsys, "evaluate", path, "--filaments", tmp_path / "f.json")[0] == 0
