"""polepitch evaluate: the figures of one machine."""

from __future__ import annotations

import json
from pathlib import Path

import click

from optimizer.commands.answer import answer
from optimizer.commands.command import Command
from optimizer.commands.options import FILE, file_option, json_option


@click.command(cls=Command, short_help="Print the figures of one machine.")
@click.argument("layout", type=FILE)
@json_option
@file_option("--filaments", "filaments", "Also write the centre line of every turn, as JSON.")
def evaluate(layout: Path, as_json: bool, filaments: Path | None) -> None:
    """Print the figures of the machine in LAYOUT (a TOML file)."""
    from geometry.filaments import filaments_document
    from geometry.layout_file import read_fitting_layout
    from optimizer.caution_words import caution_document, caution_lines
    from optimizer.commands.words import figure_lines
    from optimizer.evaluation import evaluate as figures_of
    from optimizer.hazards import layout_hazards
    from optimizer.output import write_file
    from optimizer.saturation import images_share

    machine = read_fitting_layout(layout)
    figures = figures_of(machine)
    hazards = layout_hazards(machine, figures)
    if filaments is not None:
        content = json.dumps(filaments_document(machine, images_share(machine))).encode()
        write_file(filaments, content, "--filaments", b'{"speed_rpm"')
    document = figures.as_dict() | {"cautions": caution_document(hazards)}
    answer(document, [*caution_lines(hazards), *figure_lines(figures)], as_json)
