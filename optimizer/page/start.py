"""What the page opens with: the bundled lantern, a brief or a layout, and what its forms may offer."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from geometry.coils.star_of_slots import combinations, handbook_winding_factor
from geometry.coils.topology import TOPOLOGIES
from geometry.files.reading import FileFaults, read_text
from geometry.machine.arrangement import ARRANGEMENTS
from geometry.machine.layout import CONNECTIONS, STACKINGS
from geometry.machine.layout_file import layout_from_text
from geometry.stock.grades import GRADES
from geometry.stock.magnet import size_key
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.wire import USUAL_MM
from optimizer.answers.bounds import MOST_MAGNETS
from optimizer.answers.flat import flat_of_text
from optimizer.answers.page_values import flat_brief, flat_layout, is_layout
from optimizer.brief.brief import GOALS, brief_from_text
from optimizer.loads.load_target import TARGETS

BRIEF, LAYOUT = "lantern_brief.toml", "lantern_layout.toml"
RIG, MOTOR = "pump_rig.toml", "fan_motor.toml"


@dataclass(frozen=True, slots=True)
class Start:
    """A layout, a brief, a rig and a motor as flat values."""

    design: dict[str, str]
    brief: dict[str, str]
    rig: dict[str, str]
    motor: dict[str, str]


def bundled_text(name: str) -> str:
    """The text of a file that comes with the page."""
    return files("optimizer.page").joinpath(name).read_text(encoding="utf-8")


def start_of(path: str | os.PathLike[str] | None) -> Start:
    """What to open with: the file at `path`, beside the lantern's for what it does not hold. Raises FileFaults."""
    design = flat_layout(layout_from_text(bundled_text(LAYOUT), LAYOUT))
    brief = flat_brief(brief_from_text(bundled_text(BRIEF), BRIEF))
    rig, motor = flat_of_text(bundled_text(RIG)), flat_of_text(bundled_text(MOTOR))
    if path is None:
        return Start(design, brief, rig, motor)
    text, name = read_text(path), os.fspath(path)
    if is_layout(text):
        return Start(flat_layout(layout_from_text(text, name)), brief, rig, motor)
    return Start(design, flat_brief(brief_from_text(text, name)), rig, motor)


@cache
def _combinations() -> dict[str, list[list[float]]]:
    """By number of magnets, the numbers of coils that make three phases, each with its handbook winding factor."""
    return {
        str(poles): [
            [coils, round(handbook_winding_factor(coils, poles, 3), 3)] for coils in combinations(poles, 3)
        ]
        for poles in range(2, MOST_MAGNETS + 1, 2)
    }


def choices() -> dict[str, Any]:
    """What the page's lists offer."""
    return {
        "grades": list(GRADES),
        "remanences": {row.name: [row.remanence, row.recoil_permeability] for row in GRADES.values()},
        "magnets": {name: [size_key(size) for size in kind.SIZES] for name, kind in SHAPES.items()},
        "arrangements": list(ARRANGEMENTS),
        "stackings": list(STACKINGS),
        "connections": list(CONNECTIONS),
        "combinations": _combinations(),
        "wires": [f"{size:g}" for size in USUAL_MM],
        "topologies": list(TOPOLOGIES),
        "coil_icons": {topology.name: topology.icon for topology in TOPOLOGIES.values()},
        "concentrated": [topology.name for topology in TOPOLOGIES.values() if topology.concentrated],
        "goals": [*GOALS, *TARGETS],
    }


__all__ = ["FileFaults", "Start", "bundled_text", "choices", "start_of"]
