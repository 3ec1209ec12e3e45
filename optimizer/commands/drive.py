"""polepitch drive: a generator turned by hand through a rig, from rest, in time."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from optimizer.commands.numbers import Number

if TYPE_CHECKING:
    from optimizer.loads import Load

HOPELESS = 3


@click.command(short_help="Turn a machine by a hand, a mechanism and a flywheel.")
@click.argument("layout", type=click.Path(path_type=Path))
@click.argument("rig", type=click.Path(path_type=Path))
@click.option(
    "--load",
    "load_path",
    type=click.Path(path_type=Path),
    help="Load file (TOML), in place of the rig's own load.",
)
@click.option(
    "--seconds", type=Number(1, 3600), default=60.0, show_default=True, help="Length of the run."
)
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), help="Folder for page, JSON, series and plots."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def drive(
    layout: Path, rig: Path, load_path: Path | None, seconds: float, folder: Path | None, as_json: bool
) -> None:
    """Turn the machine in LAYOUT with the mechanism and the hand in RIG (TOML files) and see what comes out."""
    from geometry.layout_file import read_layout
    from optimizer.commands.words import require_fit
    from optimizer.drive import HopelessRig
    from optimizer.drive import drive as run_of
    from optimizer.drive_words import run_document, run_lines
    from optimizer.loads import OpenCircuit
    from optimizer.one_phase import require_one_phase
    from optimizer.output import check_folder, write_folder
    from optimizer.rig_file import read_rig
    from optimizer.rotor import rotor_of
    from optimizer.source import source_of

    if folder is not None:
        check_folder(folder)
    machine = read_layout(layout)
    require_fit(machine, layout)
    require_one_phase(machine, layout.read_text(encoding="utf-8"), str(layout))
    wanted = read_rig(rig)
    load = _load(load_path) if load_path else wanted.load or OpenCircuit()
    try:
        run = run_of(source_of(machine), load, wanted, rotor_of(machine), seconds)
    except HopelessRig as reason:
        click.echo(f"{rig}: {reason}", err=True)
        raise click.exceptions.Exit(HOPELESS) from reason
    written: list[str] = []
    if folder is not None:
        from optimizer.drive_report import drive_files

        files = drive_files(run)
        write_folder(folder, files)
        written = ["", f"wrote {len(files)} files to {folder}: {', '.join(files)}"]
    if as_json:
        click.echo(json.dumps(run_document(run), ensure_ascii=False))
    else:
        click.echo("\n".join([*run_lines(run), *written]))


def _load(path: Path) -> Load:
    from optimizer.load_file import read_load

    return read_load(path)
