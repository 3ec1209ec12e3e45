"""A magnet shape is one class and one row: what all of polepitch asks of it, it answers itself (`diamond.py`)."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from briefs import SMALL_BRIEF
from layouts import lantern_layout

from geometry.machine.layout import magnet_stack
from geometry.machine.layout_file import layout_text
from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.field.charged_faces import OutlineField, charged_faces
from optimizer.field.pole_harmonics import magnet_field

ROOT = Path(__file__).parents[2]
DIAGONAL = 16.0  # mm
LAYOUT = layout_text(lantern_layout("wedge")).replace('"disc"', '"diamond"')
LAYOUT = "\n".join(f"diagonal_mm = {DIAGONAL:g}" if "diameter_mm = 15" in row else row for row in LAYOUT.split("\n"))
SHAPE = {"thickness": 4e-3, "remanence": 1.3}
MAGNETS = (
    DiscMagnet(diameter=0.015, **SHAPE), RingMagnet(diameter=0.015, bore=0.006, **SHAPE),
    BlockMagnet(length=0.02, width=0.01, **SHAPE),
    ArcMagnet(inner_radius=0.025, outer_radius=0.045, angle_deg=30.0, **SHAPE),
)  # fmt: skip


def told(folder: Path, code: str, *words: object) -> subprocess.CompletedProcess[str]:
    """What Python says where the made-up shape has its row."""
    command = [sys.executable, "-c", f"import diamond\n{code}", *map(str, words)]
    places = os.pathsep.join(map(str, (ROOT, ROOT / "tests")))
    return subprocess.run(
        command, env=os.environ | {"PYTHONPATH": places}, cwd=folder, text=True, capture_output=True, check=False
    )


def polepitch(folder: Path, *words: object) -> subprocess.CompletedProcess[str]:
    return told(folder, "import optimizer.cli; optimizer.cli.main()", *words)


@pytest.mark.parametrize("magnet", MAGNETS, ids=lambda magnet: magnet.shape)
def test_the_outline_alone_gives_the_field(magnet: Magnet):
    """Arcs of an outline are chords there, that leave them by 0.2 µm."""
    heights, radii, pitch = np.array([1.5e-3, 4e-3]), np.linspace(0.012, 0.05, 9), 0.035
    faces = charged_faces(magnet_stack(magnet, "single", images=0.0, clear=0.0, reach=0.0), magnet.thickness)
    ours = OutlineField(magnet=magnet, heights=heights, faces=faces).half_circle(pitch, radii, 600)
    theirs = magnet_field(magnet, heights, 0.1).half_circle(pitch, radii, 600)
    assert ours == pytest.approx(theirs, abs=2e-4 * np.abs(theirs).max())


@pytest.mark.slow
def test_a_made_up_shape_is_read_and_evaluated(tmp_path: Path):
    """More than the disc within it gives, less than the disc around it."""
    (tmp_path / "layout.toml").write_text(LAYOUT, "utf-8")
    answer = polepitch(tmp_path, "evaluate", "layout.toml", "--json")
    assert answer.returncode == 0, answer.stderr
    figures = json.loads(answer.stdout)
    assert (figures["magnet"]["shape"], figures["magnet"]["diagonal_mm"]) == ("diamond", DIAGONAL)
    discs = [
        evaluate(lantern_layout("wedge", magnet=DiscMagnet.of_grade(diameter=size, thickness=4e-3, grade="N42")))
        for size in (DIAGONAL * 1e-3 / 2**0.5, DIAGONAL * 1e-3)
    ]
    assert discs[0].emf_rms_V < figures["emf_rms_V"] < discs[1].emf_rms_V


@pytest.mark.slow
def test_a_made_up_shape_is_drawn_and_printed(tmp_path: Path):
    (tmp_path / "layout.toml").write_text(LAYOUT, "utf-8")
    answer = polepitch(tmp_path, "template", "layout.toml", "--out", "pack")
    assert answer.returncode == 0, answer.stderr
    files = {path.name for path in (tmp_path / "pack").rglob("*")}
    assert {"template.dxf", "template.pdf", "carrier.stl", "report.html"} <= files
    assert "16 from corner to corner × 4 mm" in (tmp_path / "pack" / "template.svg").read_text("utf-8")


@pytest.mark.search
def test_a_made_up_shape_is_searched(tmp_path: Path):
    brief = SMALL_BRIEF.replace('"disc"', '"diamond"').replace("\ndiameter_mm = 15\n", "\ndiagonal_mm = 16\n")
    brief = brief.replace("quantity = 8", "quantity = 4").replace('["wedge", "round"]', '["wedge"]')
    (tmp_path / "brief.toml").write_text(brief, "utf-8")
    answer = polepitch(tmp_path, "optimize", "brief.toml", "--out", "found", "--json")
    assert answer.returncode == 0, answer.stderr
    assert json.loads(answer.stdout)["best"]["magnet"]["shape"] == "diamond"


@pytest.mark.slow
def test_a_made_up_shape_has_its_faults_and_its_form(tmp_path: Path):
    (tmp_path / "layout.toml").write_text(LAYOUT.replace("diagonal_mm", "diameter_mm"), "utf-8")
    answer = polepitch(tmp_path, "evaluate", "layout.toml")
    assert answer.returncode == 2
    assert 'diameter_mm: must be left out for shape = "diamond" (its sizes: diagonal_mm), was 16' in answer.stderr
    assert "diagonal_mm: must be given, was missing" in answer.stderr
    form = told(tmp_path, "from optimizer.answers.forms import forms; import json; print(json.dumps(forms()))")
    sent = json.loads(form.stdout)
    assert sent["sizes"]["diamond"] == ["diagonal_mm"]
    assert sent["fields"]["brief"]["magnets.diagonal_mm"]["label"] == "Diagonal"
