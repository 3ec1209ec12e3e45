"""polepitch compare: machines side by side under the same rig and load, or a brief's coil shapes on equal terms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.options import FILE, Command, Number, OneOf, file_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.circuit.loads import Load
    from optimizer.motors.comparison import ComparisonEntry, Machine
    from optimizer.rigs.rig import Rig
    from optimizer.surveys.like_for_like import LikeForLike


@click.command(cls=Command, short_help="Set machines side by side under one rig and load.")
@click.argument("machines", nargs=-1, required=True, type=FILE)
@file_option("--rig", "rig_path", "Rig (TOML) that turns them.")
@file_option(
    "--load", "load_path", "Load (TOML), for which a motor's wire is picked as well; without, each its best."
)
@click.option("--rpm", type=Number(1, 100_000), help="Speed ahead of their gears, without a rig.")
@file_option("--prices", "prices_path", "File (TOML) that holds a table [prices], such as a brief.")
@click.option(
    "--equal", multiple=True, type=OneOf(["envelope", "copper", "wire"]),
    help="Compare the coil shapes of one BRIEF on equal terms instead. May be given more than once.",
)  # fmt: skip
@out_option("Folder for page, table, plots and JSON.")
@json_option
def compare(  # noqa: PLR0913, PLR0917 - one for each option
    machines: tuple[Path, ...],
    rig_path: Path | None,
    load_path: Path | None,
    rpm: float | None,
    prices_path: Path | None,
    equal: tuple[str, ...],
    folder: Path | None,
    as_json: bool,
) -> None:
    """Set MACHINES (layouts or motors, TOML files) side by side under the same rig and load.

    Without a rig they turn at the same speed: that of --rpm, or the first machine's own. With --equal, the only file
    is a BRIEF, whose coil shapes are compared before the same magnets.
    """
    if equal:
        if len(machines) != 1 or any((rig_path, load_path, rpm, prices_path)):
            raise click.UsageError(
                "--equal: must be given with one BRIEF and none of --rig, --load, --rpm, --prices"
            )
        _compare_shapes(machines[0], equal, folder, as_json)
        return
    from optimizer.documents.compare_document import compare_document
    from optimizer.loads.load_file import read_load
    from optimizer.motors.comparison import compare as compared
    from optimizer.motors.comparison import read_machine, read_prices
    from optimizer.reports.answer_files import compare_files
    from optimizer.rigs.rig_file import read_rig
    from optimizer.terminal.subjects import require_no_other_layout

    if rig_path is not None and rpm is not None:
        raise click.UsageError(
            "--rpm: must be left out when --rig is given, since the hand on the rig sets the speed"
        )
    prices = None if prices_path is None else read_prices(prices_path)
    rig = None if rig_path is None else read_rig(rig_path)
    load = None if load_path is None else read_load(load_path)
    found = _told_apart([read_machine(path, prices, load) for path in machines])
    speed = found[0].speed_rpm if rpm is None else rpm
    require_no_other_layout(folder, [machine.layout for machine in found if machine.layout])
    entries = compared(found, load, rig, speed)
    lines = _lines(entries, load, rig, speed)
    if folder is not None:
        lines += written(folder, compare_files(entries, load, rig, speed))
    answer(compare_document(entries, load, rig, speed), lines, as_json)


def _told_apart(machines: list[Machine]) -> list[Machine]:
    """The machines with a number behind each name that more than one has."""
    names = [machine.name for machine in machines]
    return [
        machine
        if names.count(name) == 1
        else replace(machine, name=f"{name} ({names[: at + 1].count(name)})")
        for at, (machine, name) in enumerate(zip(machines, names, strict=True))
    ]


def _lines(entries: tuple[ComparisonEntry, ...], load: Load | None, rig: Rig | None, speed: float) -> list[str]:
    from optimizer.terminal.printed_words import column_lines
    from optimizer.words.caution_words import caution_lines
    from optimizer.words.comparison_words import (
        compared_figures,
        condition_words,
        headline,
        note_sentences,
        verdicts,
    )

    bites = [line for entry in entries for line in caution_lines(entry.hazards, entry.machine.name)[:-1]]
    lines = [f"{len(entries)} machines {condition_words(load, rig, speed)}", ""]
    lines += [*bites, *([""] if bites else []), headline(entries), ""]
    lines += [*column_lines(compared_figures(entries, on_rig=rig is not None)), ""]
    for entry, verdict in zip(entries, verdicts(entries), strict=True):
        lines += [f"{entry.machine.name}: {text}" for text in (verdict, *note_sentences(entry.machine))]
    return lines


def _compare_shapes(brief: Path, equal: tuple[str, ...], folder: Path | None, as_json: bool) -> None:
    """Compare on each of the `equal` terms once, write all files to `folder` and print."""
    from optimizer.brief.brief import read_brief
    from optimizer.documents.compare_document import like_for_like_document
    from optimizer.surveys.like_for_like import compare_like_for_like
    from optimizer.terminal.answer import shown_progress

    wanted = read_brief(brief)
    with shown_progress() as progress:
        progress("Comparing coil shapes", 0.0)
        compared = compare_like_for_like(wanted, tuple(dict.fromkeys(equal)))
    lines = _shape_lines(compared)
    if folder is not None:
        from optimizer.reports.answer_files import like_for_like_files

        lines += written(folder, like_for_like_files(compared))
    answer(like_for_like_document(compared), lines, as_json)


def _shape_lines(compared: LikeForLike) -> list[str]:
    from optimizer.words.comparison_words import (
        base_words,
        equal_words,
        finding_words,
        missing_words,
        table_rows,
    )

    lines = [compared.brief.title, "", base_words(compared)]
    for term in compared.terms:
        rows = [("", [each.name for each in term.shape_entries]), *table_rows(term)]
        width = max([14, *(len(cell) + 2 for _, cells in rows for cell in cells)])
        table = [f"  {name:<28}" + "".join(f"{cell:>{width}}" for cell in cells) for name, cells in rows]
        missing = [missing_words(term)] if term.missing else []
        lines += ["", finding_words(term), equal_words(compared, term), *missing, *table]
    return lines
