"""Documents, words and files of a run, and the command that writes them."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from layouts import lantern_layout
from rigs import BARE, OhmicTorque, crank_rig, pump_rig

from geometry.machine.layout_file import layout_text
from optimizer.commands.drive import drive as command
from optimizer.documents.study_document import run_document
from optimizer.reports.answer_files import drive_files
from optimizer.rigs.hand_drive import drive_against
from optimizer.rigs.rig import Charge
from optimizer.words.drive_words import run_lines
from optimizer.words.wording import duration

STUDY = Path(__file__).parents[1] / "common_practice"


# words and files


def test_document_is_plain_json_and_text_has_no_nonsense():
    run = drive_against(OhmicTorque(constant=0.1), pump_rig(charge=Charge(volts=2, energy_wh=1)), BARE)
    document = json.loads(json.dumps(run_document(run), allow_nan=False))
    assert document["settled"]["rpm"] == pytest.approx(run.settled.rpm, rel=1e-6)
    assert document["settled"]["dc_V"] == pytest.approx(run.settled.dc_volts, rel=1e-6)
    assert document["strokes"][0]["hand_J"] == pytest.approx(run.strokes[0].hand_joules, rel=1e-6)
    assert document["burst_rpm"] is None
    text = "\n".join(run_lines(run))
    assert "nan" not in text
    assert "inf" not in text
    assert f"Up to {run.most_stored:.3g}" in text


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.82, "0.82 s"), (12.4, "12 s"), (150, "2.5 min"), (9000, "2.5 h"), (864_000, "10.0 days")],
)
def test_durations(seconds: float, words: str):
    assert duration(seconds).replace("\u00a0", " ") == words


@pytest.mark.slow
def test_files():
    run = drive_against(OhmicTorque(constant=0.1), pump_rig(charge=Charge(volts=2, energy_wh=1)), BARE, 20)
    files = drive_files(run)
    assert set(files) == {
        "drive.json", "series.csv", "rig.toml", "drive.html", "run.png", "run.svg", "energy.png", "energy.svg",
        "stroke.png", "stroke.svg",
    }  # fmt: skip
    assert files == drive_files(run)
    rows = files["series.csv"].decode().splitlines()
    assert rows[0] == "time_s,rotor_rpm,volts_V,amps_A,load_W,hand_force_N,hand_speed_m_per_s"
    assert float(rows[-1].split(",")[0]) == pytest.approx(20)
    page = files["drive.html"].decode()
    assert "What turns stores energy" in page
    assert "://" not in page


def test_a_crank_has_no_strokes_to_show():
    assert "stroke.png" not in drive_files(drive_against(OhmicTorque(), crank_rig(), BARE, 5))


# the command


@pytest.fixture(scope="module")
def study_out(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("drive") / "out"
    done = CliRunner().invoke(
        command,
        [
            str(STUDY / "layout.toml"),
            str(STUDY / "rig.toml"),
            "--json",
            "--seconds",
            "20",
            "--out",
            str(folder),
        ],
    )
    assert done.exit_code == 0
    return folder, done.stdout


@pytest.mark.slow
def test_command_prints_one_object(study_out: tuple[Path, str]):
    document = json.loads(study_out[1])
    assert 6 <= document["settled"]["dc_V"] <= 7
    assert document["can_charge"] is True


def test_command_writes_its_files(study_out: tuple[Path, str]):
    assert json.loads((study_out[0] / "drive.json").read_text("utf-8")) == json.loads(study_out[1])


def test_command_takes_a_load_file(tmp_path: Path):
    (tmp_path / "load.toml").write_text("[load]\nkind = 'resistor'\nresistance_ohm = 10\n", "utf-8")
    arguments = [
        STUDY / "layout.toml",
        STUDY / "rig.toml",
        "--load",
        tmp_path / "load.toml",
        "--seconds",
        "10",
    ]
    done = CliRunner().invoke(command, list(map(str, arguments)))
    assert done.exit_code == 0
    assert "RMS, across the resistance" in done.stdout


def test_command_explains_a_hopeless_rig(tmp_path: Path):
    (tmp_path / "layout.toml").write_text(layout_text(lantern_layout()), "utf-8")
    rig = (STUDY / "rig.toml").read_text("utf-8").replace("lead_mm = 40 ", "lead_mm = 4 ")
    (tmp_path / "rig.toml").write_text(rig, "utf-8")
    done = CliRunner().invoke(
        command, [str(tmp_path / "layout.toml"), str(tmp_path / "rig.toml"), "--out", str(tmp_path / "out")]
    )
    assert done.exit_code == 3
    assert "rig.toml: mechanism: the twisted bar locks itself" in done.stderr
    assert not (tmp_path / "out").exists()
