"""All files of an answer of `load`, `drive`, `rewind`, `compare` and `sweep`: page, JSON, tables, plots; by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from geometry.drawing.layout_drawing import draw_layout
from geometry.machine.layout_file import layout_text
from geometry.writers.svg import svg_text
from optimizer.charts.comparison_charts import compare_figures, like_for_like_figures
from optimizer.charts.drive_charts import drive_figures
from optimizer.charts.load_charts import load_figures
from optimizer.charts.rewind_charts import rewind_figures
from optimizer.charts.sweep_charts import front_figures, sweep_figures
from optimizer.circuit.loads import Load
from optimizer.documents.compare_document import (
    compare_document,
    like_for_like_document,
    option_document,
    rewind_document,
)
from optimizer.documents.result_document import front_document, sweep_document
from optimizer.documents.study_document import run_document, study_document
from optimizer.evaluation.chain import Evaluation
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.loads.hazards import layout_hazards
from optimizer.loads.load_file import load_text
from optimizer.loads.load_study import LoadStudy, study_load
from optimizer.motors.comparison import ComparisonEntry
from optimizer.motors.rewinding import Option, RewindBrief, old_coils
from optimizer.plots.style import Figure
from optimizer.reports.pages import svg_uri
from optimizer.reports.pictures import drawn_files, page_files
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.rig import Rig
from optimizer.rigs.rig_file import rig_text
from optimizer.search.load_search import LoadResult
from optimizer.surveys.front import Front
from optimizer.surveys.like_for_like import COIL, CROSSING, JOINT, LikeForLike
from optimizer.surveys.sweeps import Sweep
from optimizer.words.caution_words import cautions
from optimizer.words.comparison_words import compare_cautions, named_cautions
from optimizer.words.drive_words import drive_cautions
from optimizer.words.rewind_words import motor_cautions, rewind_hazards


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


def drive_files(run: DriveRun) -> dict[str, bytes]:
    """Name to bytes: `drive.json`, `series.csv`, `drive.html`, `rig.toml`, plots as PNG and SVG."""
    values = {"hazards": run.hazards, "cautions": drive_cautions(run)}
    return {
        "drive.json": json_bytes(run_document(run), indent=1),
        "series.csv": csv_bytes(run.rows()),
        "rig.toml": rig_text(run.rig).encode(),
        **page_files("drive.html", drive_figures(run), run=run, **values),
    }


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


def compare_files(
    entries: Sequence[ComparisonEntry], load: Load | None, rig: Rig | None, speed_rpm: float
) -> dict[str, bytes]:
    """Name to bytes: `compare.json`, `compare.csv`, `compare.html`, plots (PNG, SVG); without a rig at `speed_rpm`."""
    document = compare_document(entries, load, rig, speed_rpm)
    pages = page_files(
        "compare.html",
        compare_figures(entries),
        entries=entries,
        load=load,
        rig=rig,
        speed_rpm=speed_rpm,
        bites=named_cautions(entries),
        cautions=compare_cautions(entries),
    )
    return {"compare.json": json_bytes(document), "compare.csv": csv_bytes(document["machines"]), **pages}


def like_for_like_files(comparison: LikeForLike) -> dict[str, bytes]:
    """Name to bytes: `comparison.json`, `comparison.csv`, `comparison.html`, plots as PNG and SVG."""
    best = comparison.best
    shapes = comparison.terms[0].shape_entries
    return {
        "comparison.json": json_bytes(like_for_like_document(comparison)),
        "comparison.csv": csv_bytes(comparison.rows()),
        **page_files(
            "comparison.html",
            like_for_like_figures(comparison),
            comparison=comparison,
            drawings=[(each.name, svg_uri(svg_text(draw_layout(each.entry.layout)).encode())) for each in shapes],
            weights={"coil": COIL, "joint": JOINT, "crossing": CROSSING},
            held=retention(best.layout),
            hazards=layout_hazards(best.figures),
            cautions=cautions(best.figures),
        ),
    }


def sweep_files(sweep: Sweep) -> dict[str, bytes]:
    """Name to bytes: `sweep.json`, `sweep.csv`, plots as PNG and SVG when any point fits."""
    return _files("sweep", sweep_document(sweep), sweep.rows(), sweep_figures(sweep))


def front_files(front: Front) -> dict[str, bytes]:
    """Name to bytes: `front.json`, `front.csv`, the plot as PNG and SVG."""
    return _files("front", front_document(front), front.rows(), front_figures(front))


def _files(
    name: str, document: dict[str, Any], rows: list[dict[str, Any]], figures: Mapping[str, Figure]
) -> dict[str, bytes]:
    return {
        f"{name}.json": json_bytes(document),
        f"{name}.csv": csv_bytes(rows),
        **drawn_files(figures),
    }
