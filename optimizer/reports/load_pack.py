"""All files of a load study: page, JSON, tables, plots."""

from __future__ import annotations

from collections.abc import Mapping

from geometry.machine.layout_file import layout_text
from optimizer.charts.load_charts import load_figures
from optimizer.documents.study_document import study_document
from optimizer.evaluation.chain import Evaluation
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.loads.load_file import load_text
from optimizer.loads.load_study import LoadStudy, study_load
from optimizer.reports.pages import page
from optimizer.reports.pictures import Picture, pictures, plot_files
from optimizer.search.load_search import LoadResult
from optimizer.words.caution_words import cautions, told_cautions
from optimizer.words.load_words import (
    best_words,
    load_words,
    meter_rows,
    note_words,
    point_rows,
    source_rows,
    wire_words,
)

CAPTIONS = {
    "waveforms": "One electrical period: above the volts, below the current of the winding.",
    "losses": "Where the power of the shaft goes; bearings and air are not counted.",
    "by_load": "The same winding at the same speed with other loads of this kind.",
    "by_speed": "The same load at other speeds; the dot is the speed of this study.",
    "by_wire": "The same bundle filled with each standard wire: what the load gets, and volts against source "
    "resistance. Volts² per ohm hardly change, so all wires lie on one line.",
}


def study_files(study: LoadStudy) -> dict[str, bytes]:
    """Name to bytes: `load.json`, `load.toml`, `layout.toml`, tables in CSV, `load.html`, plots as PNG and SVG."""
    values, figures = study_document(study), load_figures(study)
    drawn = pictures(figures)
    files = {
        "load.html": load_html(study, drawn).encode(),
        "load.json": json_bytes(values, indent=1),
        "layout.toml": layout_text(study.layout).encode(),
        "load.toml": load_text(study.load).encode(),
        "by_speed.csv": csv_bytes(values["by_speed"]),
        "by_wire.csv": csv_bytes(values["by_wire"]["wires"]),
    }
    if values["by_load"] is not None:
        files["by_load.csv"] = csv_bytes(values["by_load"]["points"])
    return files | plot_files(figures, drawn)


def load_files(answer: LoadResult, winner: Evaluation) -> dict[str, bytes]:
    """The study of the winner of a search for a load, in a folder `load`."""
    study = study_load(winner.layout, answer.target.load, machine=winner)
    return {f"load/{name}": content for name, content in study_files(study).items()}


def load_html(study: LoadStudy, drawn: Mapping[str, Picture]) -> str:
    """The page: one HTML file that needs nothing but itself."""
    return page(
        "load.html",
        title=study.layout.title,
        load=load_words(study.load),
        rpm=study.point.speed_rpm,
        groups=[
            ("What the load gets", point_rows(study)),
            ("The winding as a source", source_rows(study)),
            ("What meters show", meter_rows(study)),
        ],
        best=best_words(study),
        wire=wire_words(study),
        notes=note_words(study),
        pictures=drawn,
        captions=CAPTIONS,
        bites=told_cautions(study.hazards),
        held=retention(study.layout),
        cautions=cautions(study.layout, study.figures),
    )
