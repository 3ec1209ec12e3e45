"""All files of a result, by name: what the command line writes and whatever else hands them over."""

from __future__ import annotations

from collections.abc import Callable

from geometry.drawing.layout_drawing import draw_layout
from geometry.machine.layout_file import layout_text
from geometry.writers.dxf import dxf_bytes
from optimizer.brief.brief import brief_text
from optimizer.documents.result_document import result_document
from optimizer.jobs.documents import json_bytes
from optimizer.plots.gallery import result_figures
from optimizer.reports.pictures import plot_files
from optimizer.reports.report import report_html
from optimizer.search.result import Result

# places that a search takes, with its pack and its load: known before it is done
PLACES = (
    "result.json",
    "template.dxf",
    "report.html",
    "plots/layout.png",
    "pack/README.md",
    "load/load.html",
)


def result_files(
    result: Result, progress: Callable[[str, float], None] = lambda stage, share: None
) -> dict[str, bytes]:
    """Brief, layout, figures, outline, plots and report. The same result gives the same bytes."""
    drawing = draw_layout(result.best.layout)
    files = {
        "brief.toml": brief_text(result.brief).encode(),
        "layout.toml": layout_text(result.best.layout).encode(),
        "result.json": json_bytes(result_document(result), indent=1),
        "template.dxf": dxf_bytes(drawing),
    }
    figures = result_figures(result)
    for done, (name, figure) in enumerate(figures.items()):
        progress("Drawing plots", done / len(figures))
        files |= plot_files({f"plots/{name}": figure})
    progress("Writing the report", 1.0)
    files["report.html"] = report_html(result, figures).encode()
    return files
