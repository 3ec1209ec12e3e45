"""All files of a result, by name: what the command line writes and whatever else hands them over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Self, TypeAlias

from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Drawing
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.writers.dxf import dxf_bytes
from optimizer.brief.brief import brief_text
from optimizer.building.winding_card import WindingCard, winding_card
from optimizer.documents.result_document import result_document
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.jobs.chunks import Progress
from optimizer.jobs.documents import json_bytes
from optimizer.jobs.helper import Helper
from optimizer.reports.pages import Picture, plot_files
from optimizer.reports.report import report_html
from optimizer.search.result import Result

Told: TypeAlias = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownResult:
    """A search's answer with what its report and its pack show of the winner, each made once.

    drawings: the template's, one for each side that has coils. drawn: the plots by name. files: those that result and
    pack share, by name.
    """

    result: Result
    machine: Evaluation
    card: WindingCard
    drawings: tuple[Drawing, ...]
    drawn: Mapping[str, Picture]
    files: Mapping[str, bytes]

    @classmethod
    def of(
        cls, result: Result, progress: Progress = lambda stage, share: None, helper: Helper | None = None
    ) -> Self:
        """Everything made from the result; helper: a process that draws the plots of the same, asked before."""
        machine = evaluation(result.best.layout)
        drawings = template_drawings(machine.layout)
        card = winding_card(machine)
        files = {
            "brief.toml": brief_text(result.brief).encode(),
            "layout.toml": layout_text(machine.layout).encode(),
            "result.json": json_bytes(result_document(result), indent=1),
            "template.dxf": dxf_bytes(drawings[0]),
        }

        def told(done: int, total: int) -> None:
            progress("Drawing plots", done / total)

        progress("Drawing plots", 0.0)
        try:
            drawn = helper.results(told) if helper else _drawn_here(result, machine, told)
        except ChildProcessError:
            drawn = _drawn_here(result, machine, told)
        return cls(result=result, machine=machine, card=card, drawings=drawings, drawn=drawn, files=files)


def _drawn_here(result: Result, machine: Evaluation, told: Told) -> dict[str, Picture]:
    from optimizer.packs.drawn_plots import drawn_plots  # loads matplotlib

    return drawn_plots(result, machine.emf, told)


def template_drawings(layout: Layout) -> tuple[Drawing, ...]:
    """The template of every side of the carrier that has coils."""
    return tuple(draw_layout(layout, side) for side in range(layout.sides))


def result_files(shown: ShownResult, progress: Progress = lambda stage, share: None) -> dict[str, bytes]:
    """Brief, layout, figures, outline, plots and report. The same result gives the same bytes."""
    plots = plot_files(shown.drawn)
    progress("Writing the report", 1.0)
    report = report_html(shown.result, shown.drawn, shown.card).encode()
    return {**shown.files, **{f"plots/{name}": content for name, content in plots.items()}, "report.html": report}
