"""polepitch new: a file to begin with."""

from __future__ import annotations

from pathlib import Path

import click

from optimizer.terminal.answer import answer
from optimizer.terminal.options import FILE, FILE_KINDS, Command, OneOf, file_option, json_option


@click.command(cls=Command, short_help="Write a file to begin with: a brief, a layout, a load, a rig, a motor.")
@click.argument("kind", type=OneOf(FILE_KINDS))
@click.argument("file", type=FILE)
@file_option("--from", "layout", "Of a brief: a layout (TOML) to fill it from.")
@click.option("--overwrite", is_flag=True, help="Replace FILE where it is there already.")
@json_option
def new(kind: str, file: Path, layout: Path | None, overwrite: bool, as_json: bool) -> None:
    """Write a commented FILE (TOML) of a KIND that runs as it is: change what is not yours, take # from what you need.

    KIND is brief, layout, load, rig, motor or prices.
    """
    from geometry.fit.rules import read_fitting_layout
    from optimizer.brief.brief import brief_text
    from optimizer.jobs.output import OutputFault, write_file
    from optimizer.starters.starter import brief_of, starter_text
    from optimizer.words.key_words import begun_words

    if layout is not None and kind != "brief":
        raise click.UsageError(f"--from: must be left out unless KIND is brief, was {layout}")
    if file.exists() and not overwrite:
        raise OutputFault(f"FILE: must be a new file, but {file} is there: name another, or give --overwrite")
    text = None if layout is None else brief_text(brief_of(read_fitting_layout(layout)))
    write_file(file, starter_text(kind, text).encode(), "FILE", b"")
    answer({"kind": kind, "file": str(file)}, [begun_words(kind, str(file))], as_json)
