"""polepitch load: what a layout gives a load, and what is lost on the way."""

from __future__ import annotations

from pathlib import Path

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.options import FILE, Command, Number, file_option, json_option, out_option


@click.command(cls=Command, short_help="Carry a machine through coil, rectifier and load.")
@click.argument("layout", type=FILE)
@file_option("--load", "load_file", "A load (TOML); open circuit without.")
@click.option("--rpm", type=Number(1, 20000), help="Speed; the layout's own without.")
@click.option("--temperature", type=Number(-50, 250), default=20.0, show_default=True, help="Of the copper, °C.")
@json_option
@out_option("Folder for a page, plots and tables.")
def load(
    layout: Path,
    load_file: Path | None,
    rpm: float | None,
    temperature: float,
    as_json: bool,
    folder: Path | None,
) -> None:
    """Carry the machine in LAYOUT (a TOML file) through coil, rectifier and load."""
    from geometry.fit.rules import read_fitting_layout
    from optimizer.circuit.loads import OpenCircuit
    from optimizer.documents.study_document import study_document
    from optimizer.loads.load_file import read_load
    from optimizer.loads.load_study import study_load
    from optimizer.terminal.printed_study import study_lines

    machine = read_fitting_layout(layout)
    fed = read_load(load_file) if load_file else OpenCircuit()
    study = study_load(machine, fed, speed_rpm=rpm, temperature=temperature)
    lines = study_lines(study)
    if folder is not None:
        from optimizer.reports.answer_files import study_files

        lines += written(folder, study_files(study))
    answer(study_document(study), lines, as_json)
