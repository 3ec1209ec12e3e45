"""What a design does for a load, turned by hand through a rig, and beside a rewound motor."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Self, TypedDict, TypeVar

import numpy as np

from geometry.files.reading import FileFaults
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from optimizer.answers.page_values import Flat, layout_of, refused_file, text_of_flat
from optimizer.answers.page_violations import no_voltage, too_much_to_draw
from optimizer.answers.refusal import Refused
from optimizer.circuit.loads import Load
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.loads.load_file import load_from_text
from optimizer.loads.load_study import study_load
from optimizer.motors.comparison import ComparisonEntry, compare, machine_of_layout, machine_of_motor
from optimizer.motors.motor_file import rewind_from_text
from optimizer.motors.rewinding import RewindBrief, pick, sweep
from optimizer.rigs.hand_drive import CannotTurn, DriveRun, drive_layout
from optimizer.rigs.rig import Rig
from optimizer.rigs.rig_file import rig_from_text
from optimizer.words import comparison_words, drive_words, rewind_words
from optimizer.words.caution_words import caution_document
from optimizer.words.load_words import best_words, note_words, point_rows
from optimizer.words.loads import words_of
from optimizer.words.wording import RowOfWords, number

T = TypeVar("T")

SECONDS, SHOWN = 60.0, 240  # length of a run; points of its curves


class Asked(TypedDict):
    """A design, what it feeds, what turns it, and a motor beside it, as flat values.

    rig: empty for a steady speed. motor: empty for none.
    """

    design: Flat
    load: Flat
    rig: Flat
    motor: Flat


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulation:
    """What `asked` states, once read."""

    asked: Asked
    machine: Evaluation
    load: Load
    rig: Rig | None
    motor: RewindBrief | None

    @property
    def layout(self) -> Layout:
        """The design."""
        return self.machine.layout

    @classmethod
    def of(cls, asked: Asked) -> Self:
        """What is asked for, read. Raises `Refused` with every fault, those of rig and motor behind their names."""
        layout, faults = _usable(asked["design"]), list[tuple[str, str]]()
        load = _read(load_from_text, asked["load"], "load", faults)
        rig = _read(rig_from_text, asked["rig"], "rig", faults) if asked["rig"] else None
        motor = _read(rewind_from_text, asked["motor"], "motor", faults) if asked["motor"] else None
        if faults or load is None:
            raise Refused(faults)
        return cls(asked=asked, machine=evaluation(layout), load=load, rig=rig, motor=motor)


def simulate(asked: Asked) -> dict[str, Any]:
    """What `polepitch load` says of the design at its own speed; with a rig, what `polepitch drive` says as well.

    With a motor, what `polepitch rewind` says of it and `polepitch compare` of both. Raises `Refused` for what cannot
    be simulated.
    """
    simulation = Simulation.of(asked)
    rig, motor = simulation.rig, simulation.motor
    try:
        return {
            "load": _load_study(simulation),
            "rig": _run(simulation, rig) if rig else None,
            "motor": _rewound(simulation, motor) if motor else None,
        }
    except CannotTurn as reason:
        raise Refused(str(reason)) from reason


def _read(read: Callable[[str, str], T], flat: Flat, name: str, faults: list[tuple[str, str]]) -> T | None:
    """What `read` makes of flat values; its faults are added to `faults`."""
    try:
        return read(text_of_flat(flat, name), name)
    except FileFaults as wrong:
        before = "" if name == "load" else f"{name}."  # a load's file is one table of that name
        faults += [((before + key).rstrip("."), words) for key, words in refused_file(wrong).rows]
        return None


def _usable(design: Flat) -> Layout:
    layout = layout_of(design)
    if words := too_much_to_draw(layout) or no_voltage(layout):
        raise Refused(words)
    if faults := violations(layout):
        raise Refused(f"the design does not fit: {faults[0].message}")
    return layout


def _load_study(simulation: Simulation) -> dict[str, Any]:
    layout, load = simulation.layout, simulation.load
    study = study_load(layout, load, machine=simulation.machine)
    fed = words_of(load).joined(load, study.source.connection)
    return {
        "title": f"{fed}, at {layout.speed_rpm:g} rpm",
        "cautions": caution_document(study.hazards),
        "rows": _rows(point_rows(study)),
        "best": best_words(study),
        "notes": list(note_words(study)),
        "by_speed": _pairs([p.speed_rpm for p in study.speeds], [p.load_watts for p in study.speeds]),
    }


def _run(simulation: Simulation, rig: Rig) -> dict[str, Any]:
    run = drive_layout(simulation.layout, simulation.load, rig, SECONDS, simulation.machine)
    return {
        "title": rig.title,
        "cautions": caution_document(run.hazards),
        "headline": drive_words.headline(run),
        "findings": list(drive_words.findings(run)),
        "volts": _thinned(run, run.series.dc_volts),
        "rpm": _thinned(run, run.series.rpm),
    }


def _rewound(simulation: Simulation, motor: RewindBrief) -> dict[str, Any]:
    """The motor wound for the load, as `polepitch rewind --load` has it, and beside the design."""
    brief = replace(motor, load=simulation.load)
    options = sweep(brief)
    chosen = pick(options)
    return {
        "title": brief.motor.title,
        "cautions": caution_document(rewind_words.rewind_hazards(brief, chosen)),
        "headline": rewind_words.headline(brief, chosen),
        "speed": f"{number(brief.turning.relative_rpm)} rpm of shaft against body",
        "picked": _rows(rewind_words.picked_rows(chosen)),
        "wires": rewind_words.wire_table(brief, options, chosen)._asdict(),
        "taps": rewind_words.tap_table(brief, chosen)._asdict(),
        "notes": rewind_words.notes(brief, chosen),
        "beside": _beside(simulation, entries_of(simulation, motor)),
    }


def entries_of(simulation: Simulation, motor: RewindBrief) -> tuple[ComparisonEntry, ...]:
    """Design and motor as `polepitch compare` sets them side by side, at the design's speed or on the rig."""
    layout, load = simulation.layout, simulation.load
    machines = [machine_of_layout(layout, evaluated=simulation.machine), machine_of_motor(replace(motor, load=load))]
    return compare(machines, load, simulation.rig, layout.speed_rpm)


def _beside(simulation: Simulation, entries: tuple[ComparisonEntry, ...]) -> dict[str, Any]:
    """The side by side of `polepitch compare`: a row for each figure, a column for each machine."""
    rig = simulation.rig
    return {
        "condition": comparison_words.condition_words(simulation.load, rig, simulation.layout.speed_rpm),
        "cautions": [row for entry in entries for row in caution_document(entry.hazards, entry.machine.name)],
        "headline": comparison_words.headline(entries),
        **comparison_words.compared_figures(entries, on_rig=rig is not None)._asdict(),
        "good_for": [
            {"name": entry.machine.name, "words": words}
            for entry, words in zip(entries, comparison_words.verdicts(entries), strict=True)
        ],
    }


def _thinned(run: DriveRun, values: Iterable[float]) -> list[list[float]]:
    numbers = np.asarray(values)
    at = np.unique(np.linspace(0, numbers.size - 1, SHOWN).astype(int))
    return _pairs(run.series.time[at], numbers[at])


def _pairs(xs: Iterable[float], ys: Iterable[float]) -> list[list[float]]:
    return [[float(f"{x:.6g}"), float(f"{y:.5g}")] for x, y in zip(xs, ys, strict=True)]


def _rows(rows: Iterable[RowOfWords]) -> list[dict[str, str]]:
    return [{"name": name, "value": value, "remark": remark} for name, value, remark in rows]
