"""All files of a load study: page, JSON, tables, plots."""

from __future__ import annotations

from geometry.machine.layout_file import layout_text
from optimizer.charts.load_charts import load_figures
from optimizer.documents.study_document import study_document
from optimizer.evaluation.chain import Evaluation
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.loads.load_file import load_text
from optimizer.loads.load_study import LoadStudy, study_load
from optimizer.reports.pages import page_files
from optimizer.search.load_search import LoadResult
from optimizer.words.caution_words import cautions


def study_files(study: LoadStudy) -> dict[str, bytes]:
    """Name to bytes: `load.json`, `load.toml`, `layout.toml`, tables in CSV, `load.html`, plots as PNG and SVG."""
    values = study_document(study)
    pages = page_files(
        "load.html",
        load_figures(study),
        study=study,
        held=retention(study.layout),
        hazards=study.hazards,
        cautions=cautions(study.figures),
    )
    files = {
        "load.html": pages["load.html"],
        "load.json": json_bytes(values, indent=1),
        "layout.toml": layout_text(study.layout).encode(),
        "load.toml": load_text(study.load).encode(),
        "by_speed.csv": csv_bytes(values["by_speed"]),
        "by_wire.csv": csv_bytes(values["by_wire"]["wires"]),
    }
    if values["by_load"] is not None:
        files["by_load.csv"] = csv_bytes(values["by_load"]["points"])
    return files | pages


def load_files(answer: LoadResult, winner: Evaluation) -> dict[str, bytes]:
    """The study of the winner of a search for a load, in a folder `load`."""
    study = study_load(winner.layout, answer.target.load, machine=winner)
    return {f"load/{name}": content for name, content in study_files(study).items()}
