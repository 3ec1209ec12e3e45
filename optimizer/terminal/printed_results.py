"""What the commands print for people of a search, for a load too, of a sweep and of a front."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from textwrap import wrap

from geometry.machine.layout import Layout
from geometry.stock.wire_words import wire_size
from optimizer.bounds.proof import Proof
from optimizer.brief.goal import GOALS
from optimizer.search.load_search import LoadResult
from optimizer.search.result import Result
from optimizer.surveys.front import PRICES, Front
from optimizer.surveys.sweeps import Sweep, plain_setting
from optimizer.terminal.answer import wrote
from optimizer.terminal.printed_words import NAME_WIDTH, columns, figure_lines
from optimizer.words.caution_words import caution_lines
from optimizer.words.load_words import (
    answer_words,
    compared_words,
    load_words,
)
from optimizer.words.machine_words import at_hand_words
from optimizer.words.result_tables import (
    EntryRow,
    binding_limits,
    bound_words,
    count_rows,
    phase_rows,
    phase_verdict,
    proof_words,
    topology_rows,
)
from optimizer.words.wording import SPACE, number

LINE_WIDTH = 100


def result_lines(
    result: Result, elapsed: float, folder: Path, names: list[str], proof: Proof | None = None
) -> list[str]:
    """The answer of a search that took `elapsed` s, for a terminal, and what was proven of its brief."""
    label, binding = GOALS[result.brief.goal].label, binding_limits(result)
    lines = [result.brief.title, "", *caution_lines(result.hazards), *figure_lines(result.best.figures)]
    if at_hand := at_hand_words(result.brief, result.best.figures):
        lines.append(f"  {'Wire at hand':<{NAME_WIDTH}} {at_hand}")
    lines += ["", f"{label} by number of magnets", *_entry_lines(count_rows(result))]
    lines += ["", f"{label} by coil shape", *_entry_lines(topology_rows(result))]
    if result.by_phases:
        lines += ["", f"{label} by number of phases", *_entry_lines(phase_rows(result)), phase_verdict(result)]
    lines += ["", "What holds it back", *(f"  {row.words}: {row.gain}, {row.value}" for row in binding)]
    if not binding:
        lines.append("  no limit by itself: relaxing any one of them brings next to nothing")
    if result.bound is not None:
        lines += ["", *wrap(bound_words(result.bound), LINE_WIDTH)]
    if proof is not None:
        lines += ["", *wrap(proof_words(proof, result.best.figures), LINE_WIDTH)]
    rate = f"{result.layouts_considered:,} layouts considered in {elapsed:.1f} s"
    return [line.replace(SPACE, " ") for line in (*lines, "", rate, wrote(folder, names))]


def _entry_lines(rows: Sequence[EntryRow]) -> list[str]:
    """Machines beside one another, a line each, in columns."""
    return columns([
        (row.name, row.value, row.change, row.magnets, row.coils, row.wire, row.load and f"load {row.load}")
        for row in rows
    ])  # fmt: skip


def answer_lines(answer: LoadResult) -> list[str]:
    """What a search for a load found, and the front that it tried."""
    load = load_words(answer.target.load)
    words = answer_words(answer.verdict, answer.result.best.layout.speed_rpm)
    lines = [load[0].upper() + load[1:], f"  {words}"]
    if answer.value == 0:
        lines.append("  source resistance and where the output of such a layout begins, rpm:")
        lines += [f"    {tried.ohms:8.3g} Ω   {number(tried.cut_in_rpm)}" for tried in answer.tried]
    else:
        lines.append(f"  source resistance and what the load makes of it, {answer.unit}:")
        lines += [f"    {tried.ohms:8.3g} Ω   {tried.value:.3g}" for tried in answer.tried]
    label = GOALS[answer.result.brief.goal].label
    return [*lines, "", compared_words(answer.verdict, label)]


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
        figures = point.entry.figures
        value, ohms = number(goal.value(figures)), number(figures.resistance_ohm)
        lines.append(f"{at}  {value:>8}  {ohms:>8}  {_in_short(figures.layout)}")
    return lines


def front_lines(front: Front) -> list[str]:
    """A front for a terminal: a line for each layout."""
    price = PRICES[front.against]
    lines = [f"{price.label + ', ' + price.unit:>16}  {'V rms':>8}  layout"]
    for entry in front.entries:
        paid, volts = number(price.of(entry.figures)), number(entry.figures.emf_rms_V)
        lines.append(f"{paid:>16}  {volts:>8}  {_in_short(entry.layout)}")
    return lines


def _in_short(layout: Layout) -> str:
    winding = layout.winding
    wound = f"{layout.coils} × {winding.turns} turns of {wire_size(winding.wire)}"
    return f"{layout.carrier.count} magnets, {winding.topology}, {wound}"
