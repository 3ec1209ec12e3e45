"""polepitch sweep: the best layout along one or two keys of a brief, or the front of volts against their price."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypedDict, Unpack

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.command import Command, OneOf
from optimizer.terminal.numbers import WholeNumber
from optimizer.terminal.options import FILE, file_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.jobs.chunks import Run
    from optimizer.surveys.sweeps import Axis, Sweep

INTERRUPTED = 130


class _Asked(TypedDict):
    brief: Path
    over: tuple[str, ...]
    front: str | None
    points: int
    fixed: bool


class _Made(TypedDict):
    lines: list[str]
    document: dict[str, Any]
    files: Callable[[], dict[str, bytes]]


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
def sweep(
    folder: Path | None, as_json: bool, workers: int, journal: Path | None, **asked: Unpack[_Asked]
) -> None:
    """Search BRIEF (a TOML file) again for each value of one or two of its keys.

    For example --over space.air_gap_mm=0.5:6:12 or --over magnets[1].quantity=8,10,12. A key of the brief's file, or
    carrier.count for the number of magnets; with --fixed also any key of a layout's file.
    """
    from optimizer.jobs.chunks import Run, worker_pool
    from optimizer.terminal.progress import shown_progress

    _check(asked)
    done = [0, 0]

    try:
        with shown_progress() as progress, worker_pool(workers) as executor:

            def told(finished: int, total: int) -> None:
                done[:] = [finished, total]
                progress(f"Point {min(finished + 1, total)} of {total}", finished / max(total, 1))

            made = _made(asked, Run(executor=executor, progress=told, journal=journal))
    except KeyboardInterrupt:
        _leave(done, journal)
    said = written(folder, made["files"])
    answer(made["document"], [*made["lines"], *said], as_json)


def _check(asked: _Asked) -> None:
    if asked["front"] and (asked["over"] or asked["fixed"]):
        raise click.UsageError("--front: must be given without --over and --fixed, was given with them")
    if not asked["front"] and not 1 <= len(asked["over"]) <= 2:
        raise click.UsageError(
            f"--over: must be given once or twice (or --front), was given {len(asked['over'])} times"
        )


def _made(asked: _Asked, run: Run) -> _Made:
    if asked["front"]:
        return _front(asked, run)
    from optimizer.reports.sweep_report import sweep_document, sweep_files, sweep_lines

    swept = _swept(asked, run)
    return _Made(
        lines=[swept.brief.title, "", *sweep_lines(swept)],
        document=sweep_document(swept),
        files=lambda: sweep_files(swept),
    )


def _front(asked: _Asked, run: Run) -> _Made:
    from optimizer.brief.brief import read_brief
    from optimizer.reports.sweep_report import front_document, front_files, front_lines
    from optimizer.surveys.front import pareto_front

    front = pareto_front(read_brief(asked["brief"]), asked["front"] or "", asked["points"], run)
    return _Made(
        lines=[front.brief.title, "", *front_lines(front)],
        document=front_document(front),
        files=lambda: front_files(front),
    )


def _swept(asked: _Asked, run: Run) -> Sweep:
    from geometry.files.reading import read_text
    from optimizer.surveys.sweeps import SweepFault
    from optimizer.surveys.sweeps import sweep as swept

    text, name = read_text(asked["brief"]), str(asked["brief"])
    try:
        axes: list[Axis] = _axes(asked["over"])
        return swept(text, axes, name=name, fixed=asked["fixed"], run=run)
    except SweepFault as fault:
        raise click.UsageError(f"--over: {fault}") from fault


def _axes(over: tuple[str, ...]) -> list[Axis]:
    from optimizer.surveys.sweeps import read_axis

    return [read_axis(written) for written in over]


def _leave(done: list[int], journal: Path | None) -> NoReturn:
    kept = f"they are kept in {journal}: run the same again to go on" if journal else "nothing was written"
    click.echo(f"stopped after {done[0]} of {done[1]} points; {kept}", err=True)
    sys.exit(INTERRUPTED)
