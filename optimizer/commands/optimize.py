"""polepitch optimize: from a brief to the best layout and all its files."""

from __future__ import annotations

import json
from pathlib import Path
from time import perf_counter

import click


@click.command(short_help="Find the best layout for a brief.")
@click.argument("brief", type=click.Path(path_type=Path))
@click.option("--out", "folder", type=click.Path(path_type=Path), required=True, help="Folder for all files.")
@click.option(
    "--pack", "packed", is_flag=True, help="Also write all that is needed to build it, to OUT/pack."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def optimize(brief: Path, folder: Path, packed: bool, as_json: bool) -> None:
    """Find the best layout for a BRIEF (a TOML file).

    Searches every layout that fits and writes the best one, its figures, plots, outline and reasons to a folder.
    """
    from optimizer.brief import read_brief
    from optimizer.commands.load_words import answer_lines
    from optimizer.commands.progress import shown_progress
    from optimizer.commands.winner_pack import require_pack, winner_pack
    from optimizer.commands.words import result_lines
    from optimizer.load_pack import load_files
    from optimizer.load_search import optimize_for_load as search_for_load
    from optimizer.output import check_folder, write_folder
    from optimizer.pack import result_files
    from optimizer.search import optimize as search

    started = perf_counter()
    check_folder(folder)
    wanted = read_brief(brief)
    if packed:
        require_pack(wanted, brief)
    with shown_progress() as progress:
        answer = None if wanted.target is None else search_for_load(wanted, wanted.target, progress)
        result = search(wanted, progress) if answer is None else answer.result
        files = result_files(result, progress)
        if packed:
            files |= winner_pack(result)
        if answer is not None:
            files |= load_files(answer)
    write_folder(folder, files)
    elapsed = perf_counter() - started
    if as_json:
        more = {} if answer is None else {"load": answer.as_dict()}
        click.echo(json.dumps(result.contract(elapsed) | more, ensure_ascii=False))
    else:
        lines = [] if answer is None else [*answer_lines(answer), ""]
        click.echo("\n".join([*lines, *result_lines(result, elapsed, folder, list(files))]))
