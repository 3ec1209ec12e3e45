"""Every study runs and gives its headline numbers; each has an answer beside it."""

from importlib import import_module
from pathlib import Path

import pytest

STUDIES = Path(__file__).parents[1] / "studies"
NAMES = sorted(path.parent.name for path in STUDIES.glob("*/study.py"))

# study -> headline numbers, each with its least and greatest; facts of the trade have their own spread
HEADLINES: dict[str, dict[str, tuple[float, float]]] = {
    "lantern": {"magnets": (16, 16), "emf_rms_V": (9.1, 9.4)},
    # by hand: 0.2 to 0.3 V as found, 1.3 to 1.8 V with 150 turns, roughly six times
    "rewound_motor": {
        "found_V": (0.2, 0.3), "rewound_V": (1.3, 1.8), "turns_ratio": (6, 6.5), "room_share": (0.9, 1),
        "wire_diameter_mm": (0.224, 0.224), "rewound_ohm": (1.73, 1.74),
    },
    # 100 teeth driving 30: about 3.3 : 1, and such a rig gives 3 to 4 V
    "geared_motor": {"gear_ratio": (3.33, 3.34), "open_V": (3, 4), "lamp_V": (2.7, 2.9), "flywheel_rpm": (358, 360)},
    # disc magnets pumped by hand with a flywheel of 2.5 kg: 6 to 7 V
    "pump_flywheel": {"volts": (6, 7), "rpm": (998, 1001)},
    "three_ways": {"geared_load_W": (1.2, 1.8), "discs_load_W": (0.3, 0.8), "motor_load_W": (0.05, 0.15)},
    # twelve discs 20 × 5 mm: images high by 12, 5, 1 and 0.2 %, 30 % low without; recoil 3.0 %, with a plate 2.5 %
    "steel_plate": {
        "image error at 1 mm": (0.11, 0.14), "image error at 1.5 mm": (0.045, 0.065),
        "image error at 2 mm": (0.007, 0.016), "image error at 3 mm": (0.001, 0.003),
        "error when the plate is ignored": (-0.31, -0.29), "no iron, error of the flux": (-0.005, 0.005),
        "no iron, error on the axis": (-0.005, 0.005), "recoil cost, flux": (0.028, 0.032),
        "recoil cost, axis": (0.034, 0.040), "recoil cost with a plate, flux": (0.021, 0.027),
    },
    "gap_and_steel": {
        "plain V": (4.7, 4.85), "plate V": (7.0, 7.2), "facing, plates V": (15, 15.6),
        "plain loss per mm": (0.16, 0.18),
        "plate needed mm": (2.9, 3.2), "plate derating": (0.99, 1), "thin plate derating": (0.9, 0.95),
        "gap that a plate buys mm": (2.1, 2.3),
    },
    "single_or_three_phase": {
        "power_W, 1": (1.08, 1.1), "power_W, 3": (1.06, 1.09), "line_V, 3": (2.7, 2.8), "power_swing, 1": (1.8, 2),
        "power_swing, 3": (0, 0.02), "bridge_least_V, 1": (0, 0.01), "bridge_least_V, 3": (3.2, 3.5),
    },
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_study_gives_its_headline_numbers(name: str) -> None:
    found = import_module(f"studies.{name}.study").main()
    assert found
    assert all(isinstance(value, int | float) for value in found.values())
    for key, (least, most) in HEADLINES.get(name, {}).items():
        assert least <= found[key] <= most, f"{key} was {found[key]}"


@pytest.mark.parametrize("name", NAMES)
def test_study_has_an_answer(name: str) -> None:
    answer = (STUDIES / name / "answer.md").read_text(encoding="utf-8")
    assert answer.startswith("# ")
    assert len(answer.split()) > 40


def test_studies_with_headlines_exist() -> None:
    assert set(HEADLINES) <= set(NAMES)
