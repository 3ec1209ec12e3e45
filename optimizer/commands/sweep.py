"""polepitch sweep: the best layout along one or two keys of a brief, or the front of volts against their price."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeAlias

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.options import FILE, Command, OneOf, WholeNumber, file_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.jobs.chunks import Run

INTERRUPTED = 130
_Made: TypeAlias = tuple[list[str], dict[str, Any], Callable[[], dict[str, bytes]]]  # lines, document, files


@click.command(cls=Command, short_help="Search again for each value of one or two quantities.")
@click.argument("brief", type=FILE)
@click.option(
    "--over", multiple=True, metavar="KEY=VALUES",
    help="A key of the brief with LOW:HIGH:COUNT or VALUE,VALUE,… Give it once or twice.",
)  # fmt: skip
@click.option(
    "--front", type=OneOf(["resistance", "magnet_mass", "wire"]),
    help="In place of --over: the most volts for every resistance, magnet mass or length of wire.",
)  # fmt: skip
@click.option(
    "--points", type=WholeNumber(2, 1000), default=16, show_default=True, help="Searches of --front."
)
@click.option("--fixed", is_flag=True, help="Evaluate the winner's layout at every point; search only once.")
@out_option("Folder for table, plots and JSON.")
@json_option
@click.option("--workers", type=WholeNumber(1, 512), default=1, show_default=True, help="Processes to use.")
@file_option(
    "--resume", "journal", "File that keeps finished points; a run that was stopped goes on from it."
)
def sweep(  # noqa: PLR0913, PLR0917 - one for each option
    brief: Path,
    over: tuple[str, ...],
    front: str | None,
    points: int,
    fixed: bool,
    folder: Path | None,
    as_json: bool,
    workers: int,
    journal: Path | None,
) -> None:
    """Search BRIEF (a TOML file) again for each value of one or two of its keys.

    For example --over space.air_gap_mm=0.5:6:12 or --over magnets[1].quantity=8,10,12. A key of the brief's file, or
    carrier.count for the number of magnets; with --fixed also any key of a layout's file.
    """
    from optimizer.jobs.chunks import Run, worker_pool
    from optimizer.terminal.answer import shown_progress

    if front and (over or fixed):
        raise click.UsageError("--front: must be given without --over and --fixed, was given with them")
    if not front and not 1 <= len(over) <= 2:
        raise click.UsageError(f"--over: must be given once or twice (or --front), was given {len(over)} times")
    done = [0, 0]

    try:
        with shown_progress() as progress, worker_pool(workers) as executor:

            def told(finished: int, total: int) -> None:
                done[:] = [finished, total]
                progress(f"Point {min(finished + 1, total)} of {total}", finished / max(total, 1))

            run = Run(executor=executor, progress=told, journal=journal)
            lines, document, files = _front(brief, front, points, run) if front else _swept(brief, over, fixed, run)
    except KeyboardInterrupt:
        _leave(done, journal)
    if folder is not None:
        lines += written(folder, files())
    answer(document, lines, as_json)


def _front(brief: Path, front: str, points: int, run: Run) -> _Made:
    from optimizer.brief.brief import read_brief
    from optimizer.documents.result_document import front_document
    from optimizer.reports.answer_files import front_files
    from optimizer.surveys.front import pareto_front
    from optimizer.terminal.printed_results import front_lines

    found = pareto_front(read_brief(brief), front, points, run)
    return [found.brief.title, "", *front_lines(found)], front_document(found), lambda: front_files(found)


def _swept(brief: Path, over: tuple[str, ...], fixed: bool, run: Run) -> _Made:
    from geometry.files.reading import read_text
    from optimizer.documents.result_document import sweep_document
    from optimizer.reports.answer_files import sweep_files
    from optimizer.surveys.sweeps import SweepFault, read_axis
    from optimizer.surveys.sweeps import sweep as swept
    from optimizer.terminal.printed_results import sweep_lines

    try:
        found = swept(read_text(brief), [read_axis(words) for words in over], name=str(brief), fixed=fixed, run=run)
    except SweepFault as fault:
        raise click.UsageError(f"--over: {fault}") from fault
    return [found.brief.title, "", *sweep_lines(found)], sweep_document(found), lambda: sweep_files(found)


def _leave(done: list[int], journal: Path | None) -> NoReturn:
    kept = f"they are kept in {journal}: run the same again to go on" if journal else "nothing was written"
    click.echo(f"stopped after {done[0]} of {done[1]} points; {kept}", err=True)
    sys.exit(INTERRUPTED)
