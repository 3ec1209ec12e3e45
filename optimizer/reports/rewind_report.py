"""All files of a rewinding: page, JSON, table, plots."""

from __future__ import annotations

from optimizer.charts.rewind_charts import rewind_figures
from optimizer.documents.rewind_document import option_document, rewind_document
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.motors.rewinding import Option, RewindBrief, old_coils
from optimizer.reports.pages import page_files
from optimizer.words.rewind_words import motor_cautions, rewind_hazards


def rewind_files(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, bytes]:
    """Name to bytes: `rewind.json`, `sweep.csv`, `rewind.html`, plots as PNG and SVG."""
    return {
        "rewind.json": json_bytes(rewind_document(brief, options, chosen)),
        "sweep.csv": csv_bytes([
            {"coils": coils} | option_document(option)
            for coils, rows in (("old", old_coils(brief)), ("new", options))
            for option in rows
        ]),
        **page_files(
            "rewind.html",
            rewind_figures(brief, options, chosen),
            brief=brief,
            options=options,
            chosen=chosen,
            hazards=rewind_hazards(brief, chosen),
            cautions=motor_cautions(brief, chosen),
        ),
    }
