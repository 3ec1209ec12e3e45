"""What a design does for a load, turned by hand through a rig, and beside a rewound motor."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypedDict, TypeVar

import numpy as np

from geometry.files.reading import FileFaults
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from optimizer.answers.bounds import no_voltage, too_much_to_draw
from optimizer.answers.flat import Flat, text_of_flat
from optimizer.answers.page_values import layout_of
from optimizer.answers.rewound import rewound_beside
from optimizer.answers.task import Tell, Told, told_of_faults
from optimizer.circuit.loads import Load
from optimizer.loads.load_file import load_from_text
from optimizer.loads.load_study import study_load
from optimizer.motors.motor_file import rewind_from_text
from optimizer.motors.rewinding import RewindBrief
from optimizer.rigs.hand_drive import CannotTurn, DriveRun
from optimizer.rigs.machine_drive import drive_layout
from optimizer.rigs.rig import Rig
from optimizer.rigs.rig_file import rig_from_text
from optimizer.words.caution_words import caution_document
from optimizer.words.drive_words import findings, headline
from optimizer.words.load_words import best_words, note_words, point_rows
from optimizer.words.loads import words_of
from optimizer.words.wording import RowOfWords

T = TypeVar("T")

SECONDS, SHOWN = 60.0, 240  # length of a run; points of its curves


class Used(TypedDict):
    """A design, what it feeds, what turns it, and a motor beside it, as flat values.

    rig: empty for a steady speed. motor: empty for none.
    """

    design: Flat
    load: Flat
    rig: Flat
    motor: Flat


@dataclass(frozen=True, slots=True, kw_only=True)
class Usage:
    """What `Used` states, once read."""

    layout: Layout
    load: Load
    rig: Rig | None
    motor: RewindBrief | None


def use(asked: Used, tell: Tell) -> dict[str, Any]:
    """What `polepitch load` says of the design at its own speed; with a rig, what `polepitch drive` says as well.

    With a motor, what `polepitch rewind` says of it and `polepitch compare` of both. Raises `Told` for what cannot
    be used.
    """
    del tell
    usage = usage_of(asked)
    layout, load, rig, motor = usage.layout, usage.load, usage.rig, usage.motor
    try:
        return {
            "load": _load_study(layout, load),
            "rig": _run(layout, load, rig) if rig else None,
            "motor": rewound_beside(layout, motor, load, rig) if motor else None,
        }
    except CannotTurn as reason:
        raise Told([("", str(reason))]) from reason


def usage_of(asked: Used) -> Usage:
    """What is asked for, read. Raises `Told` with every fault, those of rig and motor behind `rig.` and `motor.`."""
    layout, faults = _usable(asked["design"]), list[tuple[str, str]]()
    load = _read(load_from_text, asked["load"], "load", faults)
    rig = _read(rig_from_text, asked["rig"], "rig", faults) if asked["rig"] else None
    motor = _read(rewind_from_text, asked["motor"], "motor", faults) if asked["motor"] else None
    if faults or load is None:
        raise Told(faults)
    return Usage(layout=layout, load=load, rig=rig, motor=motor)


def _read(read: Callable[[str, str], T], flat: Flat, name: str, faults: list[tuple[str, str]]) -> T | None:
    """What `read` makes of flat values; its faults are added to `faults`."""
    try:
        return read(text_of_flat(flat, name), name)
    except FileFaults as found:
        before = "" if name == "load" else f"{name}."  # a load's file is one table of that name
        faults += [((before + key).rstrip("."), words) for key, words in told_of_faults(found).rows]
        return None


def _usable(design: Flat) -> Layout:
    layout = layout_of(design)
    if words := too_much_to_draw(layout) or no_voltage(layout):
        raise Told([("", words)])
    if found := violations(layout):
        raise Told([("", f"the design does not fit: {found[0].message}")])
    return layout


def _load_study(layout: Layout, load: Load) -> dict[str, Any]:
    study = study_load(layout, load)
    watts = [point.load_watts for point in study.speeds.points]
    fed = words_of(load).joined(load, study.source.connection)
    return {
        "title": f"{fed}, at {layout.speed_rpm:g} rpm",
        "cautions": caution_document(study.hazards),
        "rows": _rows(point_rows(study)),
        "best": best_words(study),
        "notes": list(note_words(study)),
        "by_speed": _pairs(study.speeds.speeds_rpm, watts),
    }


def _run(layout: Layout, load: Load, rig: Rig) -> dict[str, Any]:
    run = drive_layout(layout, load, rig, SECONDS)
    return {
        "title": rig.title,
        "cautions": caution_document(run.hazards),
        "headline": headline(run),
        "findings": list(findings(run)),
        "volts": _thinned(run, run.series.dc_volts),
        "rpm": _thinned(run, run.series.rpm),
    }


def _thinned(run: DriveRun, values: Iterable[float]) -> list[list[float]]:
    numbers = np.asarray(values)
    at = np.unique(np.linspace(0, numbers.size - 1, SHOWN).astype(int))
    return _pairs(run.series.time[at], numbers[at])


def _pairs(xs: Iterable[float], ys: Iterable[float]) -> list[list[float]]:
    return [[float(f"{x:.6g}"), float(f"{y:.5g}")] for x, y in zip(xs, ys, strict=True)]


def _rows(rows: Iterable[RowOfWords]) -> list[dict[str, str]]:
    return [{"name": name, "value": value, "remark": remark} for name, value, remark in rows]
