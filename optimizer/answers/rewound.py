"""A rewound motor beside the design: what `polepitch rewind` and `polepitch compare` say, as rows for the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from geometry.machine.layout import Layout
from optimizer.circuit.loads import Load
from optimizer.motors.comparison import ComparisonEntry, compare, verdicts
from optimizer.motors.machines import machine_of_layout, machine_of_motor
from optimizer.motors.motor import OUTPUTS
from optimizer.motors.rewinding import Option, RewindBrief, old_coils, pick, sweep
from optimizer.reports.compare_report import condition_words, volts_words
from optimizer.reports.compare_report import headline as compare_headline
from optimizer.rigs.rig import Rig
from optimizer.words.caution_words import caution_document
from optimizer.words.comparison_words import built_words
from optimizer.words.rewind_words import headline, notes, old_name, rewind_hazards, taps, wire_name
from optimizer.words.wording import number, percent, quantity

WIRE_HEADS = ("Wire, mm", "Turns", "No load, V", "Ω", "Best, W", "Load, V", "Load, W", "Room")
TAP_HEADS = ("Tapped as", "No load, V", "Ω", "Best, W")
NOTHING = "–"


def rewound_beside(layout: Layout, motor: RewindBrief, load: Load, rig: Rig | None) -> dict[str, Any]:
    """The motor wound for the load, as `polepitch rewind --load` has it, and beside the design."""
    brief = replace(motor, load=load)
    options = sweep(brief)
    chosen = pick(options)
    return {
        "title": brief.motor.title,
        "cautions": caution_document(rewind_hazards(brief, chosen)),
        "headline": headline(brief, chosen),
        "speed": f"{number(brief.turning.relative_rpm)} rpm of shaft against body",
        "picked": _picked(chosen),
        "wires": _wires(brief, options, chosen),
        "taps": {"heads": TAP_HEADS, "rows": _taps(brief, chosen)},
        "notes": notes(brief, chosen),
        "beside": _beside(entries_of(layout, brief, load, rig), load, rig, layout.speed_rpm),
    }


def entries_of(layout: Layout, motor: RewindBrief, load: Load, rig: Rig | None) -> tuple[ComparisonEntry, ...]:
    """Design and motor as `polepitch compare` sets them side by side, at the design's speed or on the rig."""
    brief = replace(motor, load=load)
    return compare([machine_of_layout(layout), machine_of_motor(brief)], load, rig, layout.speed_rpm)


def _picked(chosen: Option) -> list[dict[str, str]]:
    new = chosen.armature
    kind = "V rms" if new.output in ("star", "delta") else "V direct"
    rows = [
        ("Wire", f"{wire_name(chosen)} mm", "bare copper"),
        ("Turns of a coil", f"{new.turns:g}", f"{percent(new.room_share)} of the room"),
        ("At no load", quantity(chosen.volts, kind), ""),
        ("Resistance", quantity(chosen.ohms, "Ω"), "at 20 °C"),
        ("At the load", quantity(chosen.load_volts or 0.0, "V"), ""),
        ("Power of the load", quantity(chosen.load_watts or 0.0, "W"), ""),
    ]
    return [{"name": name, "value": value, "remark": remark} for name, value, remark in rows]


def _wires(brief: RewindBrief, options: Sequence[Option], chosen: Option) -> dict[str, Any]:
    """The table of `polepitch rewind`; mark: the row of the wire that was picked."""
    old = old_coils(brief)
    found = [[f"{wire_name(row)}: {old_name(row)}", *_wire_row(row)[1:-1], NOTHING] for row in old]
    return {
        "heads": WIRE_HEADS,
        "rows": [*found, *map(_wire_row, options)],
        "mark": len(old) + options.index(chosen),
    }


def _wire_row(option: Option) -> list[str]:
    new = option.armature
    given = (option.volts, option.ohms, option.best_watts, option.load_volts or 0.0, option.load_watts or 0.0)
    return [wire_name(option), f"{new.turns:.4g}", *map(number, given), percent(new.room_share)]


def _taps(brief: RewindBrief, chosen: Option) -> list[list[str]]:
    return [
        [
            f"{tap.output}: {OUTPUTS[tap.output]}",
            number(tap.volts) + (" rms" if tap.alternating else ""),
            number(tap.ohms),
            number(tap.best_watts),
        ]
        for tap in taps(brief, chosen)
    ]


def _beside(entries: Sequence[ComparisonEntry], load: Load, rig: Rig | None, speed_rpm: float) -> dict[str, Any]:
    """The side by side of `polepitch compare`: a row for each figure, a column for each machine."""
    rows: list[tuple[str, Callable[[ComparisonEntry], str]]] = [
        ("Volts at the load", lambda entry: volts_words(entry.volts, entry.load_kind)),
        ("Power of the load", lambda entry: quantity(entry.watts, "W")),
        ("From the hand", lambda entry: quantity(entry.hand_watts, "W")),
        _effort(rig),
        ("Hand to load", lambda entry: percent(entry.efficiency)),
        ("Speed of its own shaft", lambda entry: quantity(entry.rpm, "rpm")),
        ("Nothing joined", lambda entry: volts_words(entry.open_volts, entry.open_kind)),
    ]
    parts: list[tuple[str, Callable[[ComparisonEntry], str]]] = [
        ("Resistance", _ohms),
        ("Built of", lambda entry: built_words(entry.machine)),
        ("Wire", lambda entry: quantity(entry.machine.wire_length, "m")),
        ("Mass, as far as known", lambda entry: quantity(entry.machine.mass * 1e3, "g")),
        ("Cost of magnets and wire", _cost),
    ]
    shown = [[name, *(NOTHING if entry.failure else of(entry) for entry in entries)] for name, of in rows]
    return {
        "condition": condition_words(load, rig, speed_rpm),
        "cautions": [row for entry in entries for row in caution_document(entry.hazards, entry.machine.name)],
        "headline": compare_headline(entries),
        "heads": ["", *(entry.machine.name for entry in entries)],
        "rows": [*shown, *([name, *map(of, entries)] for name, of in parts)],
        "good_for": [
            {"name": entry.machine.name, "words": words}
            for entry, words in zip(entries, verdicts(entries), strict=True)
        ],
    }


def _effort(rig: Rig | None) -> tuple[str, Callable[[ComparisonEntry], str]]:
    if rig is None:
        return "Torque of the hand", lambda entry: quantity(1e3 * (entry.hand_torque or 0.0), "mN·m")
    return "Most force of the hand", lambda entry: quantity(entry.hand_force or 0.0, "N")


def _ohms(entry: ComparisonEntry) -> str:
    return quantity(entry.machine.ohms, "Ω a phase" if entry.machine.per_phase else "Ω")


def _cost(entry: ComparisonEntry) -> str:
    machine = entry.machine
    return "not known" if machine.cost is None else f"{machine.cost:.2f} {machine.currency}"
