"""Reports of one machine and of a search, and the winding card as a page of its own to print.

Each is one HTML file for a maker, which needs nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Self

from geometry.drawing.primitives import Drawing
from geometry.writers.sheets import NOTE_LAYERS
from geometry.writers.svg import svg_text
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.building.pack_parts import PackParts
from optimizer.building.parts_list import PartsList, parts_list
from optimizer.building.winding_card import WindingCard
from optimizer.evaluation.retention import Retention, retention
from optimizer.loads.hazards import Hazard, layout_hazards
from optimizer.reports.pages import Picture, margin, page, svg_uri
from optimizer.search.result import Result
from optimizer.words.caution_words import cautions
from optimizer.words.machine_words import steel_sentence
from optimizer.words.wording import quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineReport:
    """All numbers of one machine that a builder asks for."""

    parts: PackParts
    card: WindingCard
    held: Retention
    listed: PartsList

    @classmethod
    def of(cls, card: WindingCard, parts: PackParts, brief: Brief | None = None) -> Self:
        """Everything computed from the machine's card, its parts to print and, for prices, the brief."""
        held, listed = retention(card.layout, parts.printing), parts_list(card, parts.pieces, brief)
        return cls(parts=parts, card=card, held=held, listed=listed)

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites at the machine's own speed."""
        return layout_hazards(self.card.figures)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the builder must be told before anything else."""
        warnings = list(self.parts.warnings)
        if any("carrier" in piece.name and "_of_" in piece.name for piece in self.parts.pieces):
            warnings.append(
                "the carrier is glued from pieces, so at speed its seams hold it: at "
                f"{self.held.overspeed:g} times its speed their margin is "
                f"{margin(self.held.seam_margin)}, if the glue holds "
                f"{self.held.glue_strength_MPa:g} MPa; band the rim as well"
            )
        if self.listed.wire_short:
            warnings.append(
                f"the brief's wire is {quantity(self.listed.wire_short, 'm', 2)} short of turns, ends and spare "
                "together: see parts.csv"
            )
        steel, needed = steel_sentence(self.card.figures), self.card.figures.plate_needed_mm
        if steel and needed and self.card.layout.carrier.plate * 1e3 < needed:
            warnings.append(steel)
        return tuple(text.replace("\u00a0", " ") for text in warnings)


def machine_report_html(report: MachineReport) -> str:
    """One HTML file that needs nothing but itself; the same report gives the same text."""
    from optimizer.plots.result_plots import layout_figures
    from optimizer.reports.pictures import pictures

    return page(
        "machine_report.html",
        title=report.card.layout.title,
        report=report,
        figures=report.card.figures,
        card=report.card,
        pictures=pictures(layout_figures(report.card.machine.emf)),
        hazards=report.hazards,
        cautions=cautions(report.card.figures),
    )


def report_html(
    result: Result, drawn: Mapping[str, Picture], card: WindingCard, machine: MachineReport | None = None
) -> str:
    """The report as one HTML document; `drawn` are the pictures of `optimizer.plots.result_plots.result_plots`.

    card: the winner's. machine: its numbers for its builder, to show bill of materials as well. Holds no
    date, no time and no link; the same result gives the same text.
    """
    figures = result.best.figures
    return page(
        "report.html",
        title=result.brief.title,
        result=result,
        figures=figures,
        goal=GOALS[result.brief.goal],
        pictures=drawn,
        card=card,
        machine=machine,
        held=retention(result.best.layout),
        hazards=result.hazards,
        cautions=cautions(figures),
    )


def card_html(title: str, drawings: Sequence[Drawing], card: WindingCard) -> str:
    """The winding card in one HTML file; one or two pages of A4 or Letter when printed."""
    return page(
        "winding_card.html",
        title=title,
        card=card,
        half=ceil(card.layout.coils / 2) if card.sectored else card.layout.coils,
        drawings=[drawing_uri(drawing) for drawing in drawings],
    )


def drawing_uri(drawing: Drawing) -> str:
    """A template's drawing without its notes, as a picture in a page."""
    shown = tuple(layer for layer in drawing.layers if layer.name not in NOTE_LAYERS)
    return svg_uri(svg_text(replace(drawing, layers=shown)).encode())
