"""polepitch rewind: a salvaged motor with a new winding, as a generator."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.options import FILE, Command, file_option, json_option, out_option


@click.command(cls=Command, short_help="Rewind a salvaged motor as a generator.")
@click.argument("spec", type=FILE)
@file_option("--load", "load_path", "Load (TOML) in place of load_ohm.")
@out_option("Folder for page, table, plots and JSON.")
@json_option
def rewind(spec: Path, load_path: Path | None, folder: Path | None, as_json: bool) -> None:
    """Rewind the salvaged motor in SPEC (a TOML file) as a generator.

    Tries every wire at hand that fits the old winding's room and picks one for the stated load.
    """
    from optimizer.documents.compare_document import rewind_document
    from optimizer.loads.load_file import read_load
    from optimizer.motors.motor_file import read_rewind
    from optimizer.motors.rewinding import pick, sweep
    from optimizer.terminal.printed_words import column_lines
    from optimizer.terminal.subjects import require_no_other_layout
    from optimizer.words.caution_words import caution_lines
    from optimizer.words.rewind_words import headline, notes, rewind_hazards, tap_table, wire_table

    brief = read_rewind(spec)
    if load_path is not None:
        brief = replace(brief, load=read_load(load_path))
    require_no_other_layout(folder)
    options = sweep(brief)
    chosen = pick(options)
    lines = [
        brief.motor.title, "", *caution_lines(rewind_hazards(brief, chosen)), headline(brief, chosen), "",
        *column_lines(wire_table(brief, options, chosen)), "", *column_lines(tap_table(brief, chosen)), "",
        *(f"- {note}" for note in notes(brief, chosen)),
    ]  # fmt: skip
    if folder is not None:
        from optimizer.reports.answer_files import rewind_files

        lines += written(folder, rewind_files(brief, options, chosen))
    answer(rewind_document(brief, options, chosen), lines, as_json)
