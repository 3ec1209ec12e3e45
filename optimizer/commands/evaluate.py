"""polepitch evaluate: the figures of one machine."""

from __future__ import annotations

import json
from pathlib import Path

import click

from optimizer.terminal.answer import answer
from optimizer.terminal.options import FILE, Command, file_option, json_option


@click.command(cls=Command, short_help="Print the figures of one machine.")
@click.argument("layout", type=FILE)
@json_option
@file_option("--filaments", "filaments", "Also write the centre line of every turn, as JSON.")
def evaluate(layout: Path, as_json: bool, filaments: Path | None) -> None:
    """Print the figures of the machine in LAYOUT (a TOML file)."""
    from geometry.fit.rules import read_fitting_layout
    from geometry.machine.filaments import filaments_document
    from optimizer.evaluation.chain import evaluate as figures_of
    from optimizer.evaluation.chain import figures_document
    from optimizer.field.steel import images_share
    from optimizer.jobs.output import write_file
    from optimizer.loads.hazards import layout_hazards
    from optimizer.terminal.printed_words import figure_lines
    from optimizer.words.caution_words import caution_document, caution_lines

    machine = read_fitting_layout(layout)
    figures = figures_of(machine)
    hazards = layout_hazards(figures)
    if filaments is not None:
        content = json.dumps(filaments_document(machine, images_share(machine))).encode()
        write_file(filaments, content, "--filaments", b'{"speed_rpm"')
    document = figures_document(figures) | {"cautions": caution_document(hazards)}
    answer(document, [*caution_lines(hazards), *figure_lines(figures)], as_json)
