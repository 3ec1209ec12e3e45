"""All files of a run: page, JSON, series, strokes, plots."""

from __future__ import annotations

from optimizer.charts.drive_charts import drive_figures
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.reports.pages import page_files
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.rig_file import rig_text
from optimizer.words.drive_words import drive_cautions, run_document


def drive_files(run: DriveRun) -> dict[str, bytes]:
    """Name to bytes: `drive.json`, `series.csv`, `drive.html`, `rig.toml`, plots as PNG and SVG."""
    values = {"hazards": run.hazards, "cautions": drive_cautions(run)}
    return {
        "drive.json": json_bytes(run_document(run), indent=1),
        "series.csv": csv_bytes(run.rows()),
        "rig.toml": rig_text(run.rig).encode(),
        **page_files("drive.html", drive_figures(run), run=run, **values),
    }
