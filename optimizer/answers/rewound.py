"""A rewound motor beside the design: what `polepitch rewind` and `polepitch compare` say, as rows for the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from geometry.machine.layout import Layout
from optimizer.circuit.loads import Load
from optimizer.motors.comparison import ComparisonEntry, compare
from optimizer.motors.machines import machine_of_layout, machine_of_motor
from optimizer.motors.rewinding import RewindBrief, pick, sweep
from optimizer.reports.compare_report import condition_words
from optimizer.rigs.rig import Rig
from optimizer.words.caution_words import caution_document
from optimizer.words.comparison_words import compared_figures, verdicts
from optimizer.words.comparison_words import headline as compare_headline
from optimizer.words.rewind_words import headline, notes, picked_rows, rewind_hazards, tap_table, wire_table
from optimizer.words.wording import number


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
        "picked": [{"name": name, "value": value, "remark": remark} for name, value, remark in picked_rows(chosen)],
        "wires": wire_table(brief, options, chosen)._asdict(),
        "taps": tap_table(brief, chosen)._asdict(),
        "notes": notes(brief, chosen),
        "beside": _beside(entries_of(layout, brief, load, rig), load, rig, layout.speed_rpm),
    }


def entries_of(layout: Layout, motor: RewindBrief, load: Load, rig: Rig | None) -> tuple[ComparisonEntry, ...]:
    """Design and motor as `polepitch compare` sets them side by side, at the design's speed or on the rig."""
    brief = replace(motor, load=load)
    return compare([machine_of_layout(layout), machine_of_motor(brief)], load, rig, layout.speed_rpm)


def _beside(entries: Sequence[ComparisonEntry], load: Load, rig: Rig | None, speed_rpm: float) -> dict[str, Any]:
    """The side by side of `polepitch compare`: a row for each figure, a column for each machine."""
    return {
        "condition": condition_words(load, rig, speed_rpm),
        "cautions": [row for entry in entries for row in caution_document(entry.hazards, entry.machine.name)],
        "headline": compare_headline(entries),
        **compared_figures(entries, on_rig=rig is not None)._asdict(),
        "good_for": [
            {"name": entry.machine.name, "words": words}
            for entry, words in zip(entries, verdicts(entries), strict=True)
        ],
    }
