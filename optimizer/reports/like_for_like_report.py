"""All files of a comparison like for like: page, JSON, table, plots."""

from __future__ import annotations

from geometry.drawing.layout_drawing import draw_layout
from geometry.writers.svg import svg_text
from optimizer.charts.like_for_like_charts import like_for_like_figures
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.loads.hazards import layout_hazards
from optimizer.reports.pages import page_files
from optimizer.reports.pictures import svg_uri
from optimizer.surveys.like_for_like import COIL, CROSSING, JOINT, LikeForLike
from optimizer.words.caution_words import cautions
from optimizer.words.like_for_like_words import like_for_like_document


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
