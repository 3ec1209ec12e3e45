"""All files of a load study: page, JSON, tables, plots."""

from __future__ import annotations

import csv
import json
from base64 import b64encode
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any

from optimizer.cautions import cautions
from optimizer.evaluate import evaluate
from optimizer.load_file import load_text
from optimizer.load_search import LoadResult
from optimizer.load_study import LoadStudy, study_load
from optimizer.load_words import best_words, load_words, meter_rows, point_rows, source_rows, wire_words
from optimizer.pages import page
from optimizer.plots.load_plots import load_figures
from optimizer.plots.style import Figure, figure_png, figure_svg, finding

CAPTIONS = {
    "waveforms": "One electrical period: above the volts, below the current of the winding.",
    "losses": "Where the power of the shaft goes; bearings and air are not counted.",
    "by_load": "The same winding at the same speed with other loads of this kind.",
    "by_speed": "The same load at other speeds; the dot is the speed of this study.",
    "by_wire": "The same bundle filled with each standard wire: what the load gets, and volts against source "
    "resistance. Volts² per ohm hardly change, so all wires lie on one line.",
}


def study_files(study: LoadStudy) -> dict[str, bytes]:
    """Name to bytes: `load.json`, `load.toml`, tables in CSV, `load.html`, plots as PNG and SVG."""
    values, figures = study.as_dict(), load_figures(study)
    files = {
        "load.html": load_html(study, figures).encode(),
        "load.json": (json.dumps(values, ensure_ascii=False, indent=1) + "\n").encode(),
        "load.toml": load_text(study.load).encode(),
        "by_speed.csv": _csv(values["by_speed"]),
        "by_wire.csv": _csv(values["by_wire"]["wires"]),
    }
    if values["by_load"] is not None:
        files["by_load.csv"] = _csv(values["by_load"]["points"])
    for name, figure in figures.items():
        files[f"{name}.png"], files[f"{name}.svg"] = figure_png(figure), figure_svg(figure)
    return files


def load_files(answer: LoadResult) -> dict[str, bytes]:
    """The study of the layout that a search for a load found, in a folder `load`."""
    study = study_load(answer.result.best.layout, answer.target.load)
    return {f"load/{name}": content for name, content in study_files(study).items()}


def load_html(study: LoadStudy, figures: Mapping[str, Figure]) -> str:
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
        pictures={name: (*_picture(figure), CAPTIONS[name]) for name, figure in figures.items()},
        cautions=cautions(study.layout, evaluate(study.layout)),
    )


def _csv(rows: Sequence[Mapping[str, Any]]) -> bytes:
    """Rows as a table in CSV (UTF-8, comma, decimal point)."""
    stream = StringIO()
    table = csv.DictWriter(stream, list(rows[0]), lineterminator="\r\n")
    table.writeheader()
    table.writerows(rows)
    return stream.getvalue().encode()


def _picture(figure: Figure) -> tuple[str, str]:
    data = b64encode(figure_svg(figure)).decode("ascii")
    return f"data:image/svg+xml;base64,{data}", finding(figure)
