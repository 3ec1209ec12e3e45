"""From what a request says to layouts and briefs, and from files to what a request says."""

from __future__ import annotations

import tomllib
from typing import Any

from geometry.files.reading import FileFaults
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers.flat import Flat, flat_of_text, text_of_flat
from optimizer.answers.refused import Refused, refused_file
from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.loads.load_file import load_from_text
from optimizer.motors.motor_file import rewind_from_text
from optimizer.rigs.rig_file import rig_from_text

LAYOUT_TABLES = frozenset({"carrier", "operation"})


def layout_of(design: Flat) -> Layout:
    """The layout that flat values state. Raises `Refused` with every fault."""
    try:
        return layout_from_text(text_of_flat(design, "design"), "design")
    except FileFaults as faults:
        raise refused_file(faults) from faults


def brief_of(wanted: Flat) -> Brief:
    """The brief that flat values state. Raises `Refused` with every fault."""
    try:
        return brief_from_text(text_of_flat(wanted, "brief"), "brief")
    except FileFaults as faults:
        raise refused_file(faults) from faults


def flat_layout(layout: Layout) -> dict[str, str]:
    """A layout as flat values, as its file would state them."""
    return flat_of_text(layout_text(layout))


def flat_brief(brief: Brief) -> dict[str, str]:
    """A brief as flat values, as its file would state them."""
    return flat_of_text(brief_text(brief))


def read(text: str) -> dict[str, Any]:
    """What the text of a file holds, by name: a design, a brief, a motor, a rig or a load.

    Raises `Refused` with every fault.
    """
    try:
        held = _tables(text)
        if held & LAYOUT_TABLES:
            return {"design": flat_layout(layout_from_text(text, "file"))}
        if "motor" in held:
            rewind_from_text(text, "file")
            return {"motor": flat_of_text(text)}
        if "mechanism" in held:
            rig_from_text(text, "file")
            return {"rig": flat_of_text(text)}
        if held == {"load"}:
            load_from_text(text, "file")
            return {"load": {key.removeprefix("load."): value for key, value in flat_of_text(text).items()}}
        return {"brief": flat_brief(brief_from_text(text, "file"))}
    except FileFaults as faults:
        raise refused_file(faults) from faults
    except ValueError as error:
        raise Refused(str(error)) from error


def is_layout(text: str) -> bool:
    """Whether a TOML text has the tables of a layout."""
    return bool(_tables(text) & LAYOUT_TABLES)


def _tables(text: str) -> set[str]:
    try:
        return set(tomllib.loads(text.removeprefix("\ufeff")))
    except (ValueError, RecursionError):
        return set()
