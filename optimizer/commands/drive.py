"""polepitch drive: a generator turned by hand through a rig, from rest, in time."""

from __future__ import annotations

from pathlib import Path

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.options import FILE, Command, Number, file_option, json_option, out_option

HOPELESS = 3


@click.command(cls=Command, short_help="Turn a machine by a hand, a mechanism and a flywheel.")
@click.argument("layout", type=FILE)
@click.argument("rig", type=FILE)
@file_option("--load", "load_path", "Load file (TOML), in place of the rig's own load.")
@click.option("--seconds", type=Number(1, 3600), default=60.0, show_default=True, help="Length of the run.")
@out_option("Folder for page, JSON, series and plots.")
@json_option
def drive(
    layout: Path, rig: Path, load_path: Path | None, seconds: float, folder: Path | None, as_json: bool
) -> None:
    """Turn the machine in LAYOUT with the mechanism and the hand in RIG (TOML files) and see what comes out."""
    from geometry.fit.rules import read_fitting_layout
    from optimizer.circuit.loads import OpenCircuit
    from optimizer.documents.study_document import run_document
    from optimizer.loads.load_file import read_load
    from optimizer.rigs.hand_drive import CannotTurn, drive_layout
    from optimizer.rigs.rig_file import read_rig
    from optimizer.words.drive_words import run_lines

    machine = read_fitting_layout(layout)
    wanted = read_rig(rig)
    load = read_load(load_path) if load_path else wanted.load or OpenCircuit()
    try:
        run = drive_layout(machine, load, wanted, seconds)
    except CannotTurn as reason:
        click.echo(f"{rig}: {reason}", err=True)
        raise click.exceptions.Exit(HOPELESS) from reason
    lines = run_lines(run)
    if folder is not None:
        from geometry.machine.layout_file import layout_text
        from optimizer.reports.answer_files import drive_files

        lines += written(folder, {"layout.toml": layout_text(machine).encode(), **drive_files(run)})
    answer(run_document(run), lines, as_json)
