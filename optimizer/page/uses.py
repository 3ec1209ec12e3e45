"""What a design does for a load, and turned by hand through a rig."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypedDict

import numpy as np

from geometry.fit import misfits
from geometry.layout import Layout
from geometry.toml_reading import FileFaults
from optimizer.drive import DriveRun, HopelessRig, drive
from optimizer.drive_words import findings, headline
from optimizer.load_file import load_from_text
from optimizer.load_study import study_load
from optimizer.load_words import RowOfWords, best_words, load_words, point_rows
from optimizer.loads import Load
from optimizer.one_phase import require_one_phase
from optimizer.page.bounds import no_voltage, too_much_to_draw
from optimizer.page.flat import Flat, text_of_flat
from optimizer.page.reading import layout_of
from optimizer.page.tasks import Tell, Told, told_of_faults
from optimizer.rig_file import rig_from_text
from optimizer.rotor import rotor_of
from optimizer.source import source_of

SECONDS, SHOWN = 60.0, 240  # length of a run; points of its curves


class Used(TypedDict):
    """A design, what it feeds and what turns it, as flat values; rig: empty for a steady speed."""

    design: Flat
    load: Flat
    rig: Flat


def use(asked: Used, tell: Tell) -> dict[str, Any]:
    """What `polepitch load` says of the design at its own speed; with a rig, what `polepitch drive` says as well.

    Raises `Told` for what cannot be used.
    """
    del tell
    layout = _usable(asked["design"])
    try:
        load = load_from_text(text_of_flat(asked["load"], "load"), "load")
        return {
            "load": _load_study(layout, load),
            "rig": _run(layout, load, asked["rig"]) if asked["rig"] else None,
        }
    except FileFaults as faults:
        raise told_of_faults(faults) from faults
    except HopelessRig as reason:
        raise Told([("", str(reason))]) from reason


def _usable(design: Flat) -> Layout:
    layout = layout_of(design)
    if words := too_much_to_draw(layout) or no_voltage(layout):
        raise Told([("", words)])
    if found := misfits(layout):
        raise Told([("", f"the design does not fit: {found[0].message}")])
    try:
        require_one_phase(layout, "", "design")
    except FileFaults as faults:
        raise told_of_faults(faults) from faults
    return layout


def _load_study(layout: Layout, load: Load) -> dict[str, Any]:
    study = study_load(layout, load)
    watts = [point.load_watts for point in study.speeds.points]
    return {
        "title": f"{load_words(load)}, at {layout.speed_rpm:g} rpm",
        "rows": _rows(point_rows(study)),
        "best": best_words(study),
        "by_speed": _pairs(study.speeds.speeds_rpm, watts),
    }


def _run(layout: Layout, load: Load, rig_values: Flat) -> dict[str, Any]:
    rig = rig_from_text(text_of_flat(rig_values, "rig"), "rig")
    run = drive(source_of(layout), load, rig, rotor_of(layout), SECONDS)
    return {
        "title": rig.title,
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
