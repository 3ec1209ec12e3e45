"""The trade's check values serve as checks only: no study and no example of the page is made of them."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
FILES = sorted([*(ROOT / "studies").rglob("*.toml"), *(ROOT / "optimizer" / "page").glob("*.toml")])
CHECK_VALUES = (
    {"diameter_mm": 20, "thickness_mm": 4.5},
    {"mass_kg": 2.5},
    {"turns": 24, "wire_diameter_mm": 0.6},
    {"turns": 150, "output": "commutator"},
    {"driver_teeth": 100, "driven_teeth": 30},
    {"volts": 0.25},
)


def tables(value: Any) -> Iterator[dict[str, Any]]:
    """All tables within one, itself included."""
    if isinstance(value, dict):
        yield value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from tables(inner)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_a_study_or_example_has_numbers_of_its_own(path: Path) -> None:
    held = list(tables(tomllib.loads(path.read_text("utf-8"))))
    assert held
    assert not [values for values in CHECK_VALUES for table in held if values.items() <= table.items()]
