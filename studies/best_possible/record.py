"""Finds the machines of every point, writes their shares of the bounds and draws the pictures.

Run with `python -m studies.best_possible.record`; about two minutes on one core.
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

import csv
from collections.abc import Iterator

from optimizer.plots.any_winding_plot import PALE_GREEN, any_winding_plot
from optimizer.plots.style import (
    BLACK,
    GREEN,
    PALE,
    Axes,
    Figure,
    Line2D,
    Patch,
    figure_png,
    framed,
    house_style,
    set_finding,
    settle,
    topology_look,
)
from optimizer.search.feasibility import NothingFits
from studies.best_possible.study import BRIEF, FOLDER, SHARES, SWEEPS, best, recorded

LABELS = {"magnets": "magnets", "air_gap_mm": "air gap, mm", "wire_m": "wire at hand, m"}
LINES = {"serpentine": "-", "wedge": "-", "round": "--", "racetrack": ":"}
SHOWN = (13, 43), (-19, 19)  # mm, of the plan: a magnet and its neighbours


def record() -> None:
    """Write the table and both pictures anew."""
    rows = list(_rows())
    with SHARES.open("w", encoding="utf-8", newline="") as lines:
        table = csv.DictWriter(lines, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    for name, figure in (("shares", shares_figure(recorded())), ("windings", windings_figure())):
        (FOLDER / "pictures" / f"{name}.png").write_bytes(figure_png(figure))


def _rows() -> Iterator[dict[str, str]]:
    points = [(varied, value) for varied, values in SWEEPS.items() for value in values]
    for varied, value in points:
        for shape in BRIEF.topologies:
            try:
                found = best(shape, varied, value)
            except NothingFits:
                continue
            yield {
                "varied": varied,
                "value": f"{value:g}",
                "shape": shape,
                "emf_rms_V": f"{found.at_hand.share * found.at_hand.emf_rms_V:.4g}",
                "share": f"{found.at_hand.share:.4f}",
                "grid_error": f"{found.at_hand.grid_error:.4f}",
                "share_of_turns": f"{found.in_turns.share:.4f}",
                "grid_error_of_turns": f"{found.in_turns.grid_error:.4f}",
            }


def shares_figure(rows: list[dict[str, str]]) -> Figure:
    """Both shares along each sweep, a line for each shape; grey where the best winding of all may lie."""
    with house_style():
        figure = framed(6.6)
        grid = figure.subplots(2, len(SWEEPS), sharey=True, sharex="col")
        for row, (ending, words) in zip(grid, (("", "at hand"), ("_of_turns", "in the turns")), strict=True):
            for axes, varied in zip(row, SWEEPS, strict=True):
                _panel(axes, varied, [row for row in rows if row["varied"] == varied], ending)
            row[0].set_ylabel(f"share of the bound\nby the wire {words}, %")
        for axes, varied in zip(grid[-1], SWEEPS, strict=True):
            axes.set(xlabel=LABELS[varied])
        figure.legend(*grid[0][0].get_legend_handles_labels(), loc="outside upper left", ncols=5)
        return settle(figure)


def _panel(axes: Axes, varied: str, rows: list[dict[str, str]], ending: str) -> None:
    values = SWEEPS[varied]
    errors = [
        max(float(row[f"grid_error{ending}"]) for row in rows if float(row["value"]) == value)
        for value in values
    ]
    found = [100 * (1 - error) for error in errors]
    axes.fill_between(values, found, 100, color=PALE, label="best of all windings")
    for shape in BRIEF.topologies:
        own, look = [row for row in rows if row["shape"] == shape], topology_look(shape)
        axes.plot(
            [float(row["value"]) for row in own], [100 * float(row[f"share{ending}"]) for row in own], LINES[shape],
            color=look.color, marker=look.marker, markersize=6, markeredgecolor=BLACK, label=shape,
        )  # fmt: skip
    if varied != "magnets":
        axes.set_xscale("log")
        axes.minorticks_off()
    axes.set_xticks(values, [f"{value:g}" for value in values])
    axes.set_ylim(58, 101)


def windings_figure() -> Figure:
    """The best winding's contours over each shape's own bundles, as the brief has air gap and wire."""
    with house_style():
        figure = framed(3.5)
        row = figure.subplots(1, len(BRIEF.topologies), sharey=True)
        for axes, shape in zip(row, BRIEF.topologies, strict=True):
            found = best(shape)
            any_winding_plot(found.layout, found.at_hand, axes)
            set_finding(axes, f"{shape}: {100 * found.at_hand.share:.1f} %")
            axes.set(xlim=SHOWN[0], ylim=SHOWN[1], ylabel="y, mm" if axes is row[0] else "")
            for letter in axes.texts:
                letter.set_clip_on(True)
            if legend := axes.get_legend():
                legend.remove()
        names = {
            "best winding of any shape": Line2D([], [], color=BLACK, linewidth=0.9),
            "bundle of the shape": Patch(facecolor=PALE_GREEN, edgecolor=GREEN),
        }
        figure.legend(list(names.values()), list(names), loc="outside lower center", ncols=2)
        return settle(figure)


if __name__ == "__main__":
    record()
