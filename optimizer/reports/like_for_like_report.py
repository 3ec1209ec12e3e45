"""All files of a fair comparison: page, JSON, table, plots."""

from __future__ import annotations

from collections.abc import Mapping

from geometry.drawing.layout_drawing import draw_layout
from geometry.writers.svg import svg_text
from optimizer.charts.like_for_like_charts import like_for_like_figures
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.loads.hazards import layout_hazards
from optimizer.reports.pages import page
from optimizer.reports.pictures import Picture, pictures, plot_files, svg_uri
from optimizer.surveys.like_for_like import COIL, CROSSING, JOINT, LikeForLike, Term
from optimizer.words.caution_words import cautions, told_cautions
from optimizer.words.like_for_like_words import (
    HEADINGS,
    base_words,
    effort_words,
    equal_words,
    finding_words,
    headline,
    like_for_like_document,
    missing_words,
    table_rows,
)
from optimizer.words.wording import many


def like_for_like_files(comparison: LikeForLike) -> dict[str, bytes]:
    """Name to bytes: `comparison.json`, `comparison.csv`, `comparison.html`, plots as PNG and SVG."""
    figures = like_for_like_figures(comparison)
    drawn = pictures(figures)
    return {
        "comparison.json": json_bytes(like_for_like_document(comparison)),
        "comparison.csv": csv_bytes(comparison.rows()),
        "comparison.html": like_for_like_html(comparison, drawn).encode(),
        **plot_files(figures, drawn),
    }


def like_for_like_html(comparison: LikeForLike, drawn: Mapping[str, Picture]) -> str:
    """The page: one HTML file that needs nothing but itself."""
    return page(
        "fair.html",
        title=comparison.brief.title,
        headline=headline(comparison),
        base=base_words(comparison),
        terms=[
            (
                term, HEADINGS[term.equal], equal_words(comparison, term), finding_words(term), missing_words(term),
                table_rows(term),
            )
            for term in comparison.terms
        ],
        drawings=drawings(comparison.terms[0]),
        effort_words=effort_words,
        weights={"coil": COIL, "joint": JOINT, "crossing": CROSSING},
        considered=many(comparison.considered),
        pictures=drawn,
        bites=told_cautions(layout_hazards(comparison.best.layout, comparison.best.figures)),
        held=retention(comparison.best.layout),
        cautions=cautions(comparison.best.layout, comparison.best.figures),
    )  # fmt: skip


def drawings(term: Term) -> list[tuple[str, str]]:
    """Name and drawing, as a URI, of every shape of a term."""
    return [
        (each.name, svg_uri(svg_text(draw_layout(each.entry.layout)).encode())) for each in term.shape_entries
    ]
