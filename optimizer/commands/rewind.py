"""polepitch rewind: a salvaged motor with a new winding, as a generator."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from optimizer.rewind import Option, RewindBrief


@click.command(short_help="Rewind a salvaged motor as a generator.")
@click.argument("spec", type=click.Path(path_type=Path))
@click.option(
    "--load", "load_path", type=click.Path(path_type=Path), help="Load (TOML) in place of load_ohm."
)
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), help="Folder for page, table, plots and JSON."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def rewind(spec: Path, load_path: Path | None, folder: Path | None, as_json: bool) -> None:
    """Rewind the salvaged motor in SPEC (a TOML file) as a generator.

    Tries every wire at hand that fits the old winding's room and picks one for the stated load.
    """
    from optimizer.motor_file import read_rewind
    from optimizer.output import check_folder, write_folder
    from optimizer.rewind import pick, sweep
    from optimizer.rewind_words import rewind_document

    if folder is not None:
        check_folder(folder)
    brief = read_rewind(spec)
    if load_path is not None:
        from optimizer.load_file import read_load

        brief = replace(brief, load=read_load(load_path))
    options = sweep(brief)
    chosen = pick(options)
    written: list[str] = []
    if folder is not None:
        from optimizer.rewind_report import rewind_files

        files = rewind_files(brief, options, chosen)
        write_folder(folder, files)
        written = [f"wrote {len(files)} files to {folder}: {', '.join(files)}"]
    if as_json:
        click.echo(json.dumps(rewind_document(brief, options, chosen), ensure_ascii=False))
    else:
        click.echo("\n".join([*_lines(brief, options, chosen), *written]))


def _lines(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> list[str]:
    from optimizer.rewind_words import as_found, headline, notes, taps

    old = as_found(brief)
    head = f"{'wire mm':>9} {'turns':>6} {'volts':>8} {'ohms':>8} {'best W':>8} {'load V':>8} {'load W':>8} {'room':>6}"
    found = f"{brief.motor.diameter * 1e3:>9.3g} {brief.motor.turns:>6.3g} {old.volts:>8.3g} {old.ohms:>8.3g}"
    rows = [
        head,
        f"{found} {old.best_watts:>8.3g}  as found, through the commutator",
        *(_row(o, o is chosen) for o in options),
    ]
    tapped = [
        f"  {tap.output:<13} {tap.volts:>8.3g} V {'rms' if tap.alternating else 'direct':<7} "
        f"{tap.ohms:>8.3g} Ω {tap.best_watts:>8.3g} W at best"
        for tap in taps(brief, chosen)
    ]
    remarks = [f"- {note}" for note in notes(brief, chosen)]
    return [
        brief.motor.title, "", headline(brief, chosen), "", *rows, "",
        "The same winding, tapped in other ways", *tapped, "", *remarks,
    ]  # fmt: skip


def _row(option: Option, chosen: bool) -> str:
    rewound = option.rewound
    load = "".join(
        "        –" if value is None else f" {value:>8.3g}"
        for value in (option.load_volts, option.load_watts)
    )
    return (
        f"{rewound.wire.diameter_mm:>9g} {rewound.turns:>6} {option.volts:>8.3g} {option.ohms:>8.3g} "
        f"{option.best_watts:>8.3g}{load} {rewound.room_share:>6.0%}{'  < chosen' if chosen else ''}"
    )
