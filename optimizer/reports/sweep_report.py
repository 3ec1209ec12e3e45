"""All files of a sweep or a Pareto front: JSON, tidy table, plots."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from optimizer.brief.goal import GOALS
from optimizer.charts.sweep_charts import front_figures, sweep_figures
from optimizer.evaluation.figures import figures_document
from optimizer.jobs.documents import csv_bytes, json_bytes
from optimizer.plots.style import Figure
from optimizer.reports.pictures import pictures, plot_files
from optimizer.surveys.front import PRICES, Front
from optimizer.surveys.sweeps import Sweep, plain_setting
from optimizer.words.wording import number


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
        **plot_files(figures, pictures(figures)),
    }


def sweep_document(sweep: Sweep) -> dict[str, Any]:
    """What is saved and printed as JSON."""
    keys = [axis.key for axis in sweep.axes]
    return {
        "title": sweep.brief.title,
        "goal": sweep.brief.goal,
        "fixed": sweep.fixed,
        "axes": [{"key": axis.key, "values": [plain_setting(v) for v in axis.values]} for axis in sweep.axes],
        "points": [
            {
                "at": dict(zip(keys, [plain_setting(value) for value in point.at], strict=True)),
                "fits": point.entry is not None,
                "reason": point.reason,
                "figures": point.entry and figures_document(point.entry.figures),
            }
            for point in sweep.points
        ],
        "layouts_considered": sweep.considered,
    }


def front_document(front: Front) -> dict[str, Any]:
    """What is saved and printed as JSON."""
    return {
        "title": front.brief.title,
        "against": PRICES[front.against].figure,
        "front": [figures_document(entry.figures) for entry in front.entries],
        "dominated": [figures_document(entry.figures) for entry in front.dominated],
    }


def sweep_lines(sweep: Sweep) -> list[str]:
    """A sweep for a terminal: a line for each point."""
    goal = GOALS[sweep.brief.goal]
    widths = [max(len(axis.key), 8) for axis in sweep.axes]
    head = "  ".join(f"{axis.key:>{width}}" for axis, width in zip(sweep.axes, widths, strict=True))
    lines = [f"{head}  {goal.unit:>8}  {'Ω':>8}  best there"]
    for point in sweep.points:
        at = "  ".join(
            f"{plain_setting(value):>{width}}" for value, width in zip(point.at, widths, strict=True)
        )
        if point.entry is None:
            lines.append(f"{at}  {'–':>8}  {'–':>8}  {point.reason}")
            continue
        f = point.entry.figures
        best = f"{f.magnet_count} magnets, {f.topology}, {f.coils} × {f.turns} turns of {f.wire_diameter_mm:g} mm"
        lines.append(f"{at}  {number(goal.value(f)):>8}  {number(f.resistance_ohm):>8}  {best}")
    return lines


def front_lines(front: Front) -> list[str]:
    """A front for a terminal: a line for each layout."""
    price = PRICES[front.against]
    lines = [f"{price.label + ', ' + price.unit:>16}  {'V rms':>8}  layout"]
    for entry in front.entries:
        f = entry.figures
        best = f"{f.magnet_count} magnets, {f.topology}, {f.coils} × {f.turns} turns of {f.wire_diameter_mm:g} mm"
        lines.append(f"{number(price.of(f)):>16}  {number(f.emf_rms_V):>8}  {best}")
    return lines
