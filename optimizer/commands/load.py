"""polepitch load: what a layout gives a load, and what is lost on the way."""

from __future__ import annotations

import json
from pathlib import Path

import click

from optimizer.commands.numbers import Number


@click.command(short_help="Carry a machine through coil, rectifier and load.")
@click.argument("layout", type=click.Path(path_type=Path))
@click.option(
    "--load", "load_file", type=click.Path(path_type=Path), help="A load (TOML); open circuit without."
)
@click.option("--rpm", type=Number(1, 20000), help="Speed; the layout's own without.")
@click.option(
    "--temperature",
    type=Number(-50, 250),
    default=20.0,
    show_default=True,
    help="Of the copper, °C.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
@click.option("--out", "folder", type=click.Path(path_type=Path), help="Folder for a page, plots and tables.")
def load(
    layout: Path,
    load_file: Path | None,
    rpm: float | None,
    temperature: float,
    as_json: bool,
    folder: Path | None,
) -> None:
    """Carry the machine in LAYOUT (a TOML file) through coil, rectifier and load."""
    from geometry.layout_file import read_layout
    from optimizer.commands.load_words import study_lines
    from optimizer.commands.words import require_fit
    from optimizer.load_file import read_load
    from optimizer.load_study import study_load
    from optimizer.loads import OpenCircuit
    from optimizer.one_phase import require_one_phase
    from optimizer.output import check_folder, write_folder

    if folder is not None:
        check_folder(folder)
    machine = read_layout(layout)
    fed = read_load(load_file) if load_file else OpenCircuit()
    require_fit(machine, layout)
    require_one_phase(machine, layout.read_text(encoding="utf-8"), str(layout))
    study = study_load(machine, fed, speed_rpm=rpm, temperature=temperature)
    lines = study_lines(study)
    if folder is not None:
        from optimizer.load_pack import study_files

        files = study_files(study)
        write_folder(folder, files)
        lines += ["", f"wrote {len(files)} files to {folder}: {', '.join(files)}"]
    click.echo(json.dumps(study.as_dict(), ensure_ascii=False) if as_json else "\n".join(lines))
