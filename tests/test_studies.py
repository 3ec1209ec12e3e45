"""Every study runs and gives its headline numbers; each has an answer beside it."""

from importlib import import_module
from pathlib import Path

import numpy as np
import pytest
from searches import searched
from tiers import shared

from studies.best_possible import record, study
from studies.best_possible.record import shares_figure, windings_figure
from studies.best_possible.study import BRIEF, SWEEPS, best, recorded
from studies.lantern import study as lantern

STUDIES = Path(__file__).parents[1] / "studies"
NAMES = sorted(path.parent.name for path in STUDIES.glob("*/study.py"))

# study -> headline numbers, each with its least and greatest
HEADLINES: dict[str, dict[str, tuple[float, float]]] = {
    "lantern": {"magnets": (16, 16), "emf_rms_V": (8.85, 8.93)},
    "rewound_motor": {
        "found_V": (0.619, 0.621), "rewound_V": (3.1, 3.2), "turns_ratio": (5, 5.1), "room_share": (0.98, 1),
        "wire_diameter_mm": (0.15, 0.15), "rewound_ohm": (4.4, 4.6), "gain": (16, 18), "load_W": (0.3, 0.32),
        "found_thick_W": (0.57, 0.59), "thick_W": (0.54, 0.56),
    },
    # the crank's turns times both pairs of gears: 66 · 5 · 5
    "geared_motor": {
        "gear_ratio": (5, 5), "flywheel_rpm": (329, 331), "motor_rpm": (1645, 1655), "open_V": (5.7, 5.8),
        "lamp_W": (1, 1.06),
    },
    # 66 strokes of 240 mm over 60 mm a turn, half the beat: 528 rpm, but for the seals' drag
    "pump_flywheel": {
        "volts": (7.2, 7.4), "rpm": (524, 528), "hand_watts": (4.2, 4.6),
        "seconds_to_5_volts": (0.9, 1.1),
    },
    "equal_copper": {
        "emf_per_root_ohm wedge": (1.99, 2.01), "emf_per_root_ohm round": (1.93, 1.95),
        "emf_per_root_ohm serpentine": (1.77, 1.79), "copper differs by": (0, 7e-4),
    },
    "three_ways": {"geared_load_W": (1.6, 1.75), "discs_load_W": (0.7, 0.8), "motor_load_W": (0.035, 0.045)},
    # twelve discs 20 × 5 mm: images high by 12, 5, 1 and 0.2 %, 30 % low without; recoil 3.0 %, with a plate 2.5 %
    "steel_plate": {
        "image error at 1 mm": (0.11, 0.14), "image error at 1.5 mm": (0.045, 0.065),
        "image error at 2 mm": (0.007, 0.016), "image error at 3 mm": (0.001, 0.003),
        "error when the plate is ignored": (-0.31, -0.29), "no iron, error of the flux": (-0.005, 0.005),
        "no iron, error on the axis": (-0.005, 0.005), "recoil cost, flux": (0.028, 0.032),
        "recoil cost, axis": (0.034, 0.040), "recoil cost with a plate, flux": (0.021, 0.027),
    },
    # of wedge coils the shape loses next to nothing, the joints the rest; of the serpentine the shape loses all of it
    "best_possible": {
        "share serpentine": (0.87, 0.885), "share wedge": (0.955, 0.969), "share round": (0.949, 0.963),
        "share racetrack": (0.949, 0.963), "share of turns serpentine": (0.87, 0.885),
        "share of turns wedge": (0.985, 1), "share of turns round": (0.98, 1), "greatest grid error": (0, 0.018),
        "share serpentine, 5 m": (0.94, 0.955), "share wedge, 5 m": (0.75, 0.765),
        "share serpentine, 120 m": (0.845, 0.862), "share wedge, 120 m": (0.98, 0.99), "wedge V": (3.19, 3.22),
        "joints wedge, m": (1.05, 1.15), "harmonics round, 4 magnets": (3.1, 3.4),
    },
    "gap_and_steel": {
        "plain V": (4.7, 4.85), "plate V": (7.0, 7.2), "facing, plates V": (15, 15.6),
        "plain loss per mm": (0.16, 0.18),
        "plate needed mm": (2.9, 3.2), "plate derating": (0.99, 1), "thin plate derating": (0.9, 0.95),
        "gap that a plate buys mm": (2.1, 2.3),
    },
    "single_or_three_phase": {
        "power_W, 1": (1.07, 1.09), "power_W, 3": (1.04, 1.07), "line_V, 3": (2.6, 2.7), "power_swing, 1": (1.8, 2),
        "power_swing, 3": (0, 0.02), "bridge_least_V, 1": (0, 0.01), "bridge_least_V, 3": (3.15, 3.3),
    },
}  # fmt: skip


@pytest.fixture(autouse=True)
def _found_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What several tests ask for is searched once in a run."""
    for module in (record, study):
        monkeypatch.setattr(module, "best", shared(best))
    monkeypatch.setattr(lantern, "optimize", searched)


@pytest.mark.search
@pytest.mark.parametrize("name", NAMES)
def test_study_gives_its_headline_numbers(name: str) -> None:
    found = import_module(f"studies.{name}.study").main()
    assert found
    assert all(isinstance(value, int | float) for value in found.values())
    for key, (minimum, maximum) in HEADLINES.get(name, {}).items():
        assert minimum <= found[key] <= maximum, f"{key} was {found[key]}"


@pytest.mark.parametrize("name", NAMES)
def test_study_has_an_answer(name: str) -> None:
    answer = (STUDIES / name / "answer.md").read_text(encoding="utf-8")
    assert answer.startswith("# ")
    assert len(answer.split()) > 40


def test_studies_with_headlines_exist() -> None:
    assert set(HEADLINES) <= set(NAMES)


@pytest.mark.search
@pytest.mark.parametrize(
    ("shape", "varied", "value"), [("serpentine", "wire_m", 5), ("round", "air_gap_mm", 6), ("wedge", "magnets", 18)]
)
def test_recorded_shares_of_the_bound_are_found_again(shape: str, varied: str, value: float) -> None:
    found = study.best(shape, varied, value)
    row = next(r for r in recorded() if (r["shape"], r["varied"], r["value"]) == (shape, varied, f"{value:g}"))
    assert found.at_hand.share == pytest.approx(float(row["share"]), abs=5e-4)
    assert found.in_turns.share == pytest.approx(float(row["share_of_turns"]), abs=5e-4)
    assert found.in_turns.emf_rms_V <= found.at_hand.emf_rms_V
    assert found.at_hand.share * found.at_hand.emf_rms_V == pytest.approx(float(row["emf_rms_V"]), rel=1e-3)
    assert found.at_hand.grid_error == pytest.approx(float(row["grid_error"]), abs=2e-3)


def test_recorded_shares_of_the_bound_are_printed_in_the_answer() -> None:
    words = (STUDIES / "best_possible" / "answer.md").read_text(encoding="utf-8")
    printed = [[cell.strip() for cell in line.split("|")[1:-1]] for line in words.splitlines() if line[:3] == "| `"]
    for varied, value, *cells in printed:
        rows = {r["shape"]: r for r in recorded() if (r["varied"], r["value"]) == (varied.strip("`"), value)}
        assert cells == [
            f"{100 * float(row['share']):.1f} / {100 * float(row['share_of_turns']):.1f}" if row else "–"
            for row in map(rows.get, BRIEF.topologies)
        ]
    assert len(printed) == sum(map(len, SWEEPS.values()))


def test_shares_of_the_bound_are_drawn_as_recorded() -> None:
    rows = recorded()
    drawn = [np.asarray(line.get_ydata(), float) for axes in shares_figure(rows).axes for line in axes.lines]
    shares = [float(row[column]) for column in ("share", "share_of_turns") for row in rows]
    assert sorted(100 * share for share in shares) == pytest.approx(np.sort(np.concatenate(drawn)))


@pytest.mark.search
def test_best_windings_are_drawn_over_each_shape() -> None:
    titles = [axes.get_title(loc="left") for axes in windings_figure().axes]
    at_hand = {r["shape"]: float(r["share"]) for r in recorded() if (r["varied"], r["value"]) == ("magnets", "12")}
    assert titles == [f"{shape}: {100 * at_hand[shape]:.1f} %" for shape in BRIEF.topologies]
