"""polepitch schema: the keys of a kind of file, for editors."""

from __future__ import annotations

import json

import click

from optimizer.terminal.options import FILE_KINDS, Command, OneOf


@click.command(cls=Command, short_help="Print the JSON Schema of a kind of file, for editors.")
@click.argument("kind", type=OneOf(FILE_KINDS))
def schema(kind: str) -> None:
    """Print the JSON Schema of files of a KIND: an editor that is given it completes keys and shows their meaning.

    KIND is brief, layout, load, rig, motor or prices.
    """
    from geometry.files.schema import json_schema
    from optimizer.starters.file_kinds import FILE_KINDS as TABLES

    click.echo(json.dumps(json_schema(TABLES[kind], f"polepitch {kind}"), indent=1, ensure_ascii=False))
