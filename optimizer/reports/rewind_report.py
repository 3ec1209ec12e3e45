"""All files of a rewinding: page, JSON, table, plots."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.charts.rewind_charts import rewind_figures
from optimizer.documents.rewind_document import option_document, rewind_document
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.motors.rewinding import Option, RewindBrief, old_coils, peak_volts
from optimizer.reports.pages import page
from optimizer.reports.pictures import Picture, pictures, plot_files
from optimizer.words.caution_words import CELLS, GUARD, RULES, Caution, told_cautions, voltage_caution
from optimizer.words.rewind_words import headline, notes, rewind_hazards, tap_table, wire_table
from optimizer.words.wording import quantity


def rewind_files(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, bytes]:
    """Name to bytes: `rewind.json`, `sweep.csv`, `rewind.html`, plots as PNG and SVG."""
    figures = rewind_figures(brief, options, chosen)
    drawn = pictures(figures)
    return {
        "rewind.json": json_bytes(rewind_document(brief, options, chosen)),
        "sweep.csv": csv_bytes([
            {"coils": coils} | option_document(option)
            for coils, rows in (("old", old_coils(brief)), ("new", options))
            for option in rows
        ]),
        "rewind.html": rewind_html(brief, options, chosen, drawn).encode(),
        **plot_files(figures, drawn),
    }


def rewind_html(
    brief: RewindBrief, options: tuple[Option, ...], chosen: Option, drawn: Mapping[str, Picture]
) -> str:
    """The page: one HTML file that needs nothing but itself."""
    return page(
        "rewind.html",
        title=brief.motor.title,
        headline=headline(brief, chosen),
        wires=wire_table(brief, options, chosen),
        taps=tap_table(brief, chosen),
        notes=notes(brief, chosen),
        pictures=drawn,
        bites=told_cautions(rewind_hazards(brief, chosen)),
        cautions=motor_cautions(chosen, brief.turning.relative_rpm),
    )


def motor_cautions(chosen: Option, rpm: float) -> tuple[Caution, ...]:
    """What to mind with a rewound motor at `rpm`, whatever bites."""
    peak = peak_volts(chosen.armature, rpm)
    return (
        voltage_caution(peak, rpm),
        Caution(
            "Windings get hot",
            f"Shorted, the winding turns up to {quantity(peak**2 / chosen.ohms, 'W')} into heat at this speed.",
        ),
        GUARD,
        CELLS,
        RULES,
    )
