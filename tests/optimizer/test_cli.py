"""The commands as a person runs them: contract, exit codes, words, nothing half-written."""

from __future__ import annotations

import json
import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path

import ezdxf
import pytest
from layouts import lantern_layout
from terminal import LANTERN, ROOT, process, run
from tiers import run_folder, shared

from geometry.coils.topology import TOPOLOGIES
from geometry.machine.layout_file import layout_text, read_layout
from optimizer.evaluation.chain import evaluate, figures_document

FIGURES = [
    "topology", "phases", "magnet_count", "magnet", "pitch_radius_mm", "coils", "turns", "wire_diameter_mm",
    "inner_radius_mm", "outer_radius_mm", "air_gap_mm", "height_mm", "speed_rpm", "frequency_Hz", "emf_rms_V",
    "emf_peak_V", "emf_constant_V_per_krpm", "emf_per_root_ohm", "resistance_ohm", "wire_length_m", "copper_mass_g",
    "magnet_mass_g",
]  # fmt: skip
SMALL = (
    LANTERN.read_text(encoding="utf-8")
    .replace("quantity = 16", "quantity = 4")
    .replace("[0.2, 0.25, 0.315, 0.4, 0.5]", "[0.25, 0.4]")
    .replace('["serpentine", "wedge", "round"]', '["round", "wedge"]')
)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("briefs") / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture
def written() -> tuple[Path, dict[str, object]]:
    """The folder that `optimize` writes for the small brief, and what it prints."""
    return written_for(SMALL)


@shared
def written_for(brief: str) -> tuple[Path, dict[str, object]]:
    path, folder = run_folder() / "small.toml", run_folder() / "small_out"
    path.write_text(brief, encoding="utf-8")
    done = process(
        "optimize", path, "--out", folder, "--json", seed=1, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    out, err = done.communicate()
    assert (done.returncode, err) == (0, "")
    return folder, json.loads(out)


@pytest.mark.search
def test_optimize_prints_the_contract(written: tuple[Path, dict[str, object]]) -> None:
    folder, printed = written
    contract = ["cautions", "best", "by_magnet_count", "by_topology", "bound", "layouts_considered", "elapsed_s"]
    assert list(printed) == contract
    for figures in (printed["best"], *printed["by_magnet_count"], *printed["by_topology"]):  # type: ignore[misc]
        assert [name for name in figures if name in FIGURES] == FIGURES
        assert list(figures["magnet"])[:4] == ["shape", "diameter_mm", "thickness_mm", "remanence_T"]
    assert [f["magnet_count"] for f in printed["by_magnet_count"]] == [2, 4]  # type: ignore[attr-defined]
    assert [f["topology"] for f in printed["by_topology"]] == ["round", "wedge"]  # type: ignore[attr-defined]
    assert {"layout.toml", "result.json", "template.dxf", "report.html"} <= {p.name for p in folder.iterdir()}


@pytest.mark.search
def test_every_file_is_what_it_says(written: tuple[Path, dict[str, object]]) -> None:
    folder, printed = written
    assert figures_document(evaluate(read_layout(folder / "layout.toml"))) == printed["best"]
    assert json.loads((folder / "result.json").read_text())["best"] == printed["best"]
    assert not ezdxf.readfile(folder / "template.dxf").audit().has_errors
    pictures = {path.suffix for path in (folder / "plots").iterdir()}
    assert pictures == {".png", ".svg"}
    assert all(path.stat().st_size > 1000 for path in (folder / "plots").iterdir())


@pytest.mark.search
def test_a_progress_bar_on_a_terminal_and_the_same_bytes_in_every_file_again(
    written: tuple[Path, dict[str, object]], small: Path, tmp_path: Path
) -> None:
    leader, follower = pty.openpty()
    again = process(
        "optimize", small, "--out", tmp_path / "again", seed=2, stdout=subprocess.DEVNULL, stderr=follower
    )
    os.close(follower)
    seen = b""
    while again.poll() is None or b"layouts" not in seen:
        try:
            seen += os.read(leader, 4096)
        except OSError:
            break
    os.close(leader)
    assert again.wait() == 0
    assert b"Scanning layouts" in seen  # and `written` saw none in a pipe
    first, second = (
        {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
        for folder in (written[0], tmp_path / "again")
    )
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_evaluate_prints_figures_and_writes_filaments(
    topology: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    layout = lantern_layout(topology)
    (tmp_path / "l.toml").write_text(layout_text(layout), encoding="utf-8")
    words = ("evaluate", tmp_path / "l.toml", "--json", "--filaments", tmp_path / "f.json")
    code, out, err = run(monkeypatch, capsys, *words)
    assert (code, err) == (0, "")
    figures = json.loads(out)
    assert [name for name in figures if name in FIGURES] == FIGURES
    document = json.loads((tmp_path / "f.json").read_text())
    assert set(document) == {"speed_rpm", "magnets", "phases"}
    assert len(document["phases"][0]) == figures["coils"] * figures["turns"]
    assert len(document["magnets"]) == figures["magnet_count"]


def test_evaluate_tells_people_the_units(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "l.toml").write_text(layout_text(lantern_layout()), encoding="utf-8")
    code, out, _ = run(monkeypatch, capsys, "evaluate", tmp_path / "l.toml")
    assert code == 0
    for figure in (
        "Voltage 0.642 V rms", "Peak 1.17 V", "Ω at 20 °C", " m of 0.25 mm bare, in the turns",
        "Mass of the copper 7.06 g", "at 400 rpm", "26.7 Hz", "a remanence of 1.28 T", "Polarization 1.24 T",
    ):  # fmt: skip
        assert figure in " ".join(out.split())


def test_nothing_fits_ends_with_3_and_the_smallest_changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "b.toml").write_text(
        SMALL.replace("outer_diameter_mm = 110", "outer_diameter_mm = 50"), encoding="utf-8"
    )
    code, out, err = run(
        monkeypatch, capsys, "optimize", tmp_path / "b.toml", "--out", tmp_path / "out", "--json"
    )
    assert (code, out) == (3, "")
    assert "space.outer_diameter_mm: must be at least 68 mm, was 50 mm" in err
    assert not (tmp_path / "out").exists()


def test_a_wrong_option_ends_with_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, capsys, "optimize", LANTERN)[0] == 2
    assert run(monkeypatch, capsys, "optimise", LANTERN)[0] == 2
    assert run(monkeypatch, capsys, "evaluate", "no.toml", "--colour")[0] == 2
    assert run(monkeypatch, capsys, "--help")[0] == 0


def test_an_output_folder_that_is_a_file(
    small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "taken").write_text("mine")
    code, out, err = run(monkeypatch, capsys, "optimize", small, "--out", tmp_path / "taken")
    assert (code, out) == (2, "")
    assert "Error: --out: must be a folder, was the file " in err
    assert (tmp_path / "taken").read_text() == "mine"


@pytest.mark.search
def test_ctrl_c_leaves_nothing_and_no_traceback(small: Path, tmp_path: Path) -> None:
    stopped = process(
        "optimize", small, "--out", tmp_path / "out", stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    time.sleep(1.5)
    stopped.send_signal(signal.SIGINT)
    out, err = stopped.communicate(timeout=60)
    if stopped.returncode == 0:
        pytest.skip("it was done before it could be stopped")
    assert stopped.returncode == 130
    assert (out, err.strip()) == ("", "stopped; no file was left half-written")
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_while_the_program_loads() -> None:
    """From the moment that our own first line runs: nothing that takes a while is imported before `main` listens."""
    code = (
        "import os, signal, sys, importlib.abc\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell's background jobs ignore it
        "class Stop(importlib.abc.MetaPathFinder):\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name.partition('.')[0] not in ('optimizer', '__future__', 'importlib', 'sys'):\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Stop())\n"
        "from optimizer.cli import main\n"
        "main()"
    )
    left = subprocess.run(
        [sys.executable, "-S", "-c", code],
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert (left.returncode, left.stderr.strip()) == (130, "stopped; no file was left half-written")


def test_misfits_of_a_piped_layout_name_its_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pipe is read once: what does not fit is told with the line on which its key stands."""
    text = layout_text(lantern_layout("wedge", air_gap=1.5e-3)).replace(
        "outer_diameter_mm = 110", "outer_diameter_mm = 90"
    )
    line = next(at for at, row in enumerate(text.splitlines(), 1) if row.startswith("pitch_radius_mm"))
    for command in (["evaluate"], ["load"], ["template", "--out", tmp_path / "out"], ["compare"]):
        reading, writing = os.pipe()
        os.write(writing, text.encode())
        os.close(writing)
        code, _, err = run(monkeypatch, capsys, *command, f"/dev/fd/{reading}")
        os.close(reading)
        assert code == 2
        assert f":{line}: carrier.pitch_radius_mm: the wall" in err


@pytest.mark.slow
def test_a_hopeless_rig_ends_with_3(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    study = ROOT / "studies" / "pump_flywheel"
    rig = (study / "rig.toml").read_text(encoding="utf-8")
    line = next(row for row in rig.splitlines() if row.startswith("lead_mm"))
    (tmp_path / "rig.toml").write_text(rig.replace(line, "lead_mm = 1"), encoding="utf-8")
    (tmp_path / "load.toml").write_text('[load]\nkind = "resistor"\nresistance_ohm = 10\n', encoding="utf-8")
    words = ("drive", study / "layout.toml", tmp_path / "rig.toml", "--load", tmp_path / "load.toml", "--json")
    code, out, err = run(monkeypatch, capsys, *words)
    assert (code, out) == (3, "")
    assert "rig.toml" in err


@pytest.mark.parametrize(
    "words", [("drive", "l.toml", "r.toml", "--seconds"), ("compare", "l.toml", "--rpm")]
)
def test_nan_is_no_number(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(monkeypatch, capsys, *words, "nan")
    assert (code, out) == (2, "")
    assert "must be a number from 1 to" in err


def test_a_full_disk_at_standard_output_is_said_in_a_line(tmp_path: Path) -> None:
    (tmp_path / "l.toml").write_text(layout_text(lantern_layout()), encoding="utf-8")
    with open("/dev/full", "w") as full:
        stopped = process("evaluate", tmp_path / "l.toml", "--json", stdout=full, stderr=subprocess.PIPE)
        _, err = stopped.communicate()
    assert stopped.returncode == 2
    assert err.startswith("cannot write to standard output: ")
    assert "Traceback" not in err
