"""The report of one machine, without a search: figures, drawings, card, bill of materials, retention, cautions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.building.pack_parts import PackParts
from optimizer.building.parts_list import PartsList, parts_list
from optimizer.building.winding_card import WindingCard
from optimizer.evaluation.chain import Evaluation
from optimizer.evaluation.figures import Figures
from optimizer.evaluation.retention import Retention, retention
from optimizer.loads.hazards import Hazard, layout_hazards
from optimizer.plots.gallery import layout_figures
from optimizer.reports.pages import margin, page
from optimizer.reports.pictures import pictures
from optimizer.words.caution_words import cautions, told_cautions
from optimizer.words.figure_catalogue import build_sentence, headline_rows, machine_groups
from optimizer.words.result_reasons import method_sentences
from optimizer.words.steel_words import steel_sentence
from optimizer.words.wording import quantity

CAPTIONS = {
    "layout": "To scale, seen from the coil, and cut through the shaft. N and S name the magnet face that looks "
    "at the coil.",
    "waveform": "Open-circuit voltage over one electrical period, and its harmonics.",
    "field_map": "Axial field over the annulus halfway up the bundle.",
    "emf_by_air_gap": "The same machine with nothing but the air gap changed.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineReport:
    """All numbers of one machine that a builder asks for."""

    machine: Evaluation
    parts: PackParts
    card: WindingCard
    held: Retention
    listed: PartsList

    @classmethod
    def of(
        cls, machine: Evaluation, card: WindingCard, parts: PackParts, brief: Brief | None = None
    ) -> Self:
        """Everything computed from the machine, its card, its parts to print and, for prices, the brief."""
        layout = machine.layout
        return cls(
            machine=machine,
            parts=parts,
            card=card,
            held=retention(layout, parts.printing),
            listed=parts_list(layout, card, parts.pieces, brief),
        )

    @property
    def layout(self) -> Layout:
        """The machine as it is built."""
        return self.machine.layout

    @property
    def figures(self) -> Figures:
        """What it does."""
        return self.machine.figures

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites at the machine's own speed."""
        return layout_hazards(self.layout, self.figures)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the builder must be told before anything else."""
        found = list(self.parts.warnings)
        if any("carrier" in piece.name and "_of_" in piece.name for piece in self.parts.pieces):
            found.append(
                "the carrier is glued from pieces, so at speed its seams hold it: at "
                f"{self.held.overspeed:g} times its speed their margin is "
                f"{margin(self.held.seam_margin)}, if the glue holds "
                f"{self.held.glue_strength_MPa:g} MPa; band the rim as well"
            )
        if self.listed.wire_short:
            found.append(
                f"the brief's wire is {quantity(self.listed.wire_short, 'm', 2)} short of turns, ends and spare "
                "together: see parts.csv"
            )
        steel, needed = steel_sentence(self.figures), self.figures.plate_needed_mm
        if steel and needed and self.figures.plate_mm < needed:
            found.append(steel)
        return tuple(text.replace("\u00a0", " ") for text in found)


def machine_report_html(report: MachineReport) -> str:
    """One HTML file that needs nothing but itself; the same report gives the same text."""
    return page(
        "machine_report.html",
        title=report.layout.title,
        build=build_sentence(report.layout, report.figures),
        headline=headline_rows(report.layout, report.figures),
        groups=machine_groups(report.layout, report.figures),
        card=report.card,
        listed=report.listed,
        held=report.held,
        parts=report.parts,
        warnings=report.warnings,
        pictures=pictures(layout_figures(report.machine.emf)),
        captions=CAPTIONS,
        method=method_sentences(report.layout, report.figures),
        bites=told_cautions(report.hazards),
        cautions=cautions(report.layout, report.figures),
    )
