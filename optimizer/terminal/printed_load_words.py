"""What `polepitch load` prints for people."""

from __future__ import annotations

from optimizer.brief.goal import GOALS
from optimizer.loads.load_study import LoadStudy
from optimizer.search.load_search import LoadResult
from optimizer.terminal.printed_words import table_lines
from optimizer.words.caution_words import caution_lines
from optimizer.words.load_words import (
    answer_words,
    best_words,
    compared_words,
    load_words,
    meter_rows,
    note_words,
    point_rows,
    source_rows,
    wire_words,
)
from optimizer.words.wording import number


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


def answer_lines(answer: LoadResult) -> list[str]:
    """What a search for a load found, and the front that it tried."""
    load = load_words(answer.target.load)
    words = answer_words(answer.verdict, answer.result.best.figures.speed_rpm)
    lines = [load[0].upper() + load[1:], f"  {words}"]
    if answer.value == 0:
        lines.append("  source resistance and where the output of such a layout begins, rpm:")
        lines += [f"    {tried.ohms:8.3g} Ω   {number(tried.cut_in_rpm)}" for tried in answer.tried]
    else:
        lines.append(f"  source resistance and what the load makes of it, {answer.unit}:")
        lines += [f"    {tried.ohms:8.3g} Ω   {tried.value:.3g}" for tried in answer.tried]
    label = GOALS[answer.result.brief.goal].label
    return [*lines, "", compared_words(answer.verdict, label)]
