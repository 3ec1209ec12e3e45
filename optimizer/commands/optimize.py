"""polepitch optimize: from a brief to the best layout and all its files."""

from __future__ import annotations

from pathlib import Path
from time import perf_counter

import click

from optimizer.terminal.answer import answer, write_own
from optimizer.terminal.options import FILE, Command, even_so_option, json_option, out_option


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
    from optimizer.bounds.proof import prove
    from optimizer.brief.brief import brief_text, read_brief
    from optimizer.commands.winner_pack import PrintedBriefTable, winner_pack
    from optimizer.documents.result_document import contract
    from optimizer.packs.result_files import PLACES, ShownResult, result_files
    from optimizer.reports.answer_files import load_files
    from optimizer.search.load_search import optimize_for_load as search_for_load
    from optimizer.search.search import optimize as search
    from optimizer.terminal.answer import shown_progress
    from optimizer.terminal.printed_results import answer_lines, result_lines
    from optimizer.terminal.subjects import require_own

    started = perf_counter()
    wanted = read_brief(brief, PrintedBriefTable) if packed else read_brief(brief)
    require_own(folder, {"brief.toml": brief_text(wanted).encode()} | dict.fromkeys(PLACES, b""))
    with shown_progress() as progress:
        fed = None if wanted.target is None else search_for_load(wanted, wanted.target, progress)
        result = search(wanted, progress) if fed is None else fed.result
        shown = ShownResult.of(result, progress)
        files = result_files(shown, progress)
        if packed:
            files |= winner_pack(shown, even_so=even_so)
        if fed is not None:
            files |= load_files(fed, shown.machine)
        proof = prove(wanted, progress) if proving else None
    write_own(folder, files)
    elapsed = perf_counter() - started
    more = {} if fed is None else {"load": fed.as_dict()}
    more |= {} if proof is None else {"proof": proof.as_dict()}
    lines = [] if fed is None else [*answer_lines(fed), ""]
    lines += result_lines(result, elapsed, folder, list(files), proof)
    answer(contract(result, elapsed) | more, lines, as_json)
