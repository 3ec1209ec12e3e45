"""The report of a search: one HTML file for a maker, which needs nothing else."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.brief.goal import GOALS
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.figures import Figures
from optimizer.evaluation.retention import retention
from optimizer.plots.style import Figure
from optimizer.reports.machine_report import MachineReport
from optimizer.reports.pages import page
from optimizer.reports.pictures import pictures
from optimizer.reports.report_reasons import method_sentences, move_rows, move_verdict, why_words
from optimizer.reports.report_tables import (
    Row,
    build_rows,
    count_rows,
    phase_rows,
    phase_verdict,
    textbook_rows,
    topology_rows,
)
from optimizer.search.result import Result
from optimizer.words.caution_words import cautions, told_cautions
from optimizer.words.load_words import answer_words, compared_words, target_words
from optimizer.words.machine_words import arrangement_words, coils_words, load_words
from optimizer.words.wording import many, number, quantity, signed_percent, size_mm, unbroken


def report_html(result: Result, figures: Mapping[str, Figure], machine: MachineReport | None = None) -> str:
    """The report as one HTML document; `figures` are those of `optimizer.plots.result_figures`.

    machine: the winner's numbers for its builder, to show bill of materials as well. Holds no
    date, no time and no link; the same result gives the same text.
    """
    card = machine.card if machine else winding_card(result.best.layout)
    return page("report.html", **_content(result), pictures=pictures(figures), card=card, machine=machine)


def _content(result: Result) -> dict[str, object]:
    best, goal = result.best, GOALS[result.brief.goal]
    figures = best.figures
    return {
        "title": result.brief.title,
        "for_load": _for_load(result),
        "headline": _headline(result),
        "build": _build_sentence(result),
        "build_rows": build_rows(best.layout, figures),
        "why": why_words(result),
        "goal": goal,
        "counts": count_rows(result),
        "topologies": topology_rows(result),
        "phases": phase_rows(result),
        "phase_verdict": phase_verdict(result),
        "missing": [
            name
            for name in result.brief.topologies
            if name not in {e.figures.topology for e in result.by_topology}
        ],
        "textbook": textbook_rows(result),
        "considered": many(result.layouts_considered),
        "scan_best": quantity(result.scan_best, goal.unit),
        "refined": quantity(goal.value(figures), goal.unit),
        "refinement": signed_percent(goal.value(figures) / result.scan_best - 1),
        "moves": move_rows(result),
        "verdict": move_verdict(result),
        "method": method_sentences(best.layout, figures),
        "bites": told_cautions(result.hazards),
        "held": retention(best.layout),
        "cautions": cautions(best.layout, figures),
    }


def _for_load(result: Result) -> tuple[str, str] | None:
    """Of a search for a load: the load's answer, and what the layouts are compared by."""
    verdict = result.load
    if verdict is None:
        return None
    answer = answer_words(verdict, result.best.figures.speed_rpm)
    label = GOALS[result.brief.goal].label
    return f"The goal was {target_words(verdict.target)}. It {answer}.", compared_words(verdict, label)


def _headline(result: Result) -> list[Row]:
    figures = result.best.figures
    rpm = f"{number(figures.speed_rpm)}\u00a0rpm"
    phase = " a phase" if figures.phases > 1 else ""
    return [
        Row("Voltage", quantity(figures.emf_rms_V, "V"), f"rms{phase}, open circuit, at {rpm}"),
        *_line_row(figures),
        Row("Peak", quantity(figures.emf_peak_V, "V"), f"at {quantity(figures.frequency_Hz, 'Hz')}"),
        Row("Resistance", quantity(figures.resistance_ohm, "Ω"), f"{phase} at 20\u00a0°C".strip()),
        Row("Wire", quantity(figures.wire_length_m, "m"), f"of {figures.wire_diameter_mm:g}\u00a0mm, in the turns"),
        Row(
            "Best power",
            quantity(figures.matched_power_W, "W"),
            f"into {load_words(figures)}",
        ),
    ]


def _line_row(figures: Figures) -> list[Row]:
    """The voltage between two terminals of three phases."""
    if figures.phases == 1:
        return []
    return [
        Row("Line", quantity(figures.emf_line_rms_V, "V"), f"rms between terminals, in {figures.connection}")
    ]


def _build_sentence(result: Result) -> str:
    figures, layout = result.best.figures, result.best.layout
    magnet = figures.magnet
    coils, around = coils_words(figures), arrangement_words(figures)
    grade = f" ({magnet.grade})" if magnet.grade else ""
    return (
        f"Set {figures.magnet_count} {magnet.shape} magnets, {unbroken(magnet.size)}{grade},"
        " north and south in turn, on a circle of"
        f" {size_mm(2 * figures.pitch_radius_mm)} diameter, and wind {coils}, from"
        f" {layout.winding.wire.diameter_mm:g}\u00a0mm enamelled wire.{f' Arrangement: {around}.' if around else ''}"
    )
