"""All files of a run: page, JSON, series, strokes, plots."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.charts.drive_charts import drive_figures
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.reports.pages import page
from optimizer.reports.pictures import Picture, pictures, plot_files
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.rig_file import rig_text
from optimizer.words.caution_words import told_cautions
from optimizer.words.drive_words import (
    drive_cautions,
    energy_rows,
    findings,
    headline,
    run_document,
    volts_meaning,
)
from optimizer.words.wording import duration


def drive_files(run: DriveRun) -> dict[str, bytes]:
    """Name to bytes: `drive.json`, `series.csv`, `drive.html`, `rig.toml`, plots as PNG and SVG."""
    figures = drive_figures(run)
    drawn = pictures(figures)
    return {
        "drive.json": json_bytes(run_document(run), indent=1),
        "series.csv": csv_bytes(run.rows()),
        "rig.toml": rig_text(run.rig).encode(),
        "drive.html": drive_html(run, drawn).encode(),
        **plot_files(figures, drawn),
    }


def drive_html(run: DriveRun, drawn: Mapping[str, Picture]) -> str:
    """The page: one HTML file that needs nothing but itself."""
    total = run.energies.hand or 1.0
    return page(
        "drive.html",
        title=run.rig.title,
        headline=headline(run),
        findings=findings(run),
        settled=run.settled,
        asked={"rpm": run.asked_rpm, "cadence": run.rig.operator.cadence_per_minute},
        peak_force=max(stroke.peak_force for stroke in run.strokes),
        energies=[
            (name, joules, joules / total) for name, joules in energy_rows(run) if abs(joules) > 5e-4 * total
        ],
        total=run.energies.hand,
        imbalance=abs(run.energies.imbalance),
        length=duration(run.seconds),
        inertia=run.inertia,
        travel_per_radian=run.travel_per_radian,
        meaning=volts_meaning(run) or "at the load",
        pictures=drawn,
        bites=told_cautions(run.hazards),
        held=run.held,
        cautions=drive_cautions(run),
    )
