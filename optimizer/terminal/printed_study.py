"""What the commands print for people of a machine with a load."""

from __future__ import annotations

from optimizer.loads.load_study import LoadStudy
from optimizer.terminal.printed_words import table_lines
from optimizer.words.caution_words import caution_lines
from optimizer.words.load_words import (
    best_words,
    load_words,
    meter_rows,
    note_words,
    point_rows,
    source_rows,
    wire_words,
)


def study_lines(study: LoadStudy) -> list[str]:
    """The study, a line for each figure."""
    head = f"{study.layout.title}: {load_words(study.load)}, at {study.point.speed_rpm:g} rpm"
    groups = [
        ("The winding", source_rows(study)),
        ("The load", point_rows(study)),
        ("Meters", meter_rows(study)),
    ]
    lines = [head, *([""] if study.hazards else []), *caution_lines(study.hazards)[:-1]]
    return [*lines, "", *table_lines(groups, (34, 14)), "", best_words(study), wire_words(study), *note_words(study)]
