"""polepitch optimize: from a brief to the best layout and all its files."""

from __future__ import annotations

from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, Any

import click

from optimizer.terminal.answer import answer, write_own
from optimizer.terminal.options import FILE, Command, even_so_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.bounds.proof import Proof
    from optimizer.brief.brief import Brief, BriefTable
    from optimizer.jobs.chunks import Progress
    from optimizer.jobs.helper import Helper, Work
    from optimizer.search.load_search import LoadResult
    from optimizer.search.result import Result

# what a search takes in its folder, with its pack and its load: known before it is done
PLACES = ("result.json", "template.dxf", "report.html", "plots/layout.png", "pack/README.md", "load/load.html")


@click.command(cls=Command, short_help="Find the best layout for a brief.")
@click.argument("brief", type=FILE)
@out_option("Folder for all files.", required=True)
@click.option(
    "--pack", "packed", is_flag=True, help="Also write all that is needed to build it, to OUT/pack."
)
@click.option(
    "--prove", "proving", is_flag=True, help="Also prove what no layout within these limits exceeds; takes minutes."
)
@even_so_option
@json_option
def optimize(
    brief: Path, folder: Path, packed: bool, proving: bool, even_so: bool, as_json: bool
) -> None:
    """Find the best layout for a BRIEF (a TOML file).

    Searches every layout that fits and writes the best one, its figures, plots, outline and reasons to a folder.
    """
    from optimizer.jobs.helper import helper

    with helper(_drawing) as drawer:
        document, lines = _searched(brief, folder, packed, proving, even_so, drawer)
    answer(document, lines, as_json)


def _drawing() -> Work:
    """What draws the plots, loaded by a process of its own while this one searches."""
    from optimizer.packs.drawn_plots import drawn_plot, plot_names

    return plot_names, drawn_plot


def _searched(
    brief: Path, folder: Path, packed: bool, proving: bool, even_so: bool, drawer: Helper | None
) -> tuple[dict[str, Any], list[str]]:
    """Search, write all files, and what to print of it, as JSON and for people."""
    from optimizer.brief.brief import BriefTable, brief_text, read_brief
    from optimizer.jobs.chunks import Run, all_cores
    from optimizer.search.search import optimize as search
    from optimizer.terminal.answer import shown_progress
    from optimizer.terminal.subjects import require_own

    started, fed = perf_counter(), None
    wanted = read_brief(brief, _printed() if packed else BriefTable)
    require_own(folder, {"brief.toml": brief_text(wanted).encode()} | dict.fromkeys(PLACES, b""))
    with all_cores() as executor, shown_progress() as progress:
        run = Run(executor=executor)
        if wanted.target is not None:
            from optimizer.search.load_search import optimize_for_load

            fed = optimize_for_load(wanted, wanted.target, progress, run=run)
        result = search(wanted, progress, run=run) if fed is None else fed.result
        if drawer is not None:
            drawer.ask(result)
        files = _files(result, fed, progress, drawer, (packed, even_so))
        proof = _proof(wanted, progress) if proving else None
    write_own(folder, files)
    return _told(result, fed, proof, perf_counter() - started, (folder, list(files)))


def _files(
    result: Result, fed: LoadResult | None, progress: Progress, drawer: Helper | None, pack: tuple[bool, bool]
) -> dict[str, bytes]:
    """All files by name; pack: whether to make one, and even of what bursts.

    What writes is loaded here, while the plots are drawn.
    """
    from optimizer.packs.result_files import ShownResult, result_files

    shown = ShownResult.of(result, progress, drawer)
    files = result_files(shown, progress)
    packed, even_so = pack
    if packed:
        from optimizer.commands.winner_pack import winner_pack

        files |= winner_pack(shown, even_so=even_so)
    if fed is not None:
        from optimizer.reports.answer_files import load_files

        files |= load_files(fed, shown.machine)
    return files


def _told(
    result: Result, fed: LoadResult | None, proof: Proof | None, elapsed: float, wrote: tuple[Path, list[str]]
) -> tuple[dict[str, Any], list[str]]:
    """As JSON and for people; elapsed: s that it took; wrote: the folder, and the names of its files."""
    from optimizer.documents.result_document import contract
    from optimizer.terminal.printed_results import answer_lines, result_lines

    more = {} if fed is None else {"load": fed.as_dict()}
    more |= {} if proof is None else {"proof": proof.as_dict()}
    lines = [] if fed is None else [*answer_lines(fed), ""]
    return contract(result, elapsed) | more, [*lines, *result_lines(result, elapsed, *wrote, proof)]


def _printed() -> type[BriefTable]:
    from optimizer.commands.winner_pack import PrintedBriefTable

    return PrintedBriefTable


def _proof(wanted: Brief, progress: Progress) -> Proof:
    from optimizer.bounds.proof import prove

    return prove(wanted, progress)
