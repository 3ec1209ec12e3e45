"""What the page opens with: the bundled lantern, a brief or a layout."""

from __future__ import annotations

import os
from dataclasses import dataclass
from importlib.resources import files

from geometry.files.reading import FileFaults, read_text
from geometry.machine.layout_file import layout_from_text
from optimizer.answers.flat import flat_of_text
from optimizer.answers.page_values import flat_brief, flat_layout, is_layout
from optimizer.brief.brief import brief_from_text

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


__all__ = ["FileFaults", "Start", "bundled_text", "start_of"]
