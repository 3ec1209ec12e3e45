"""polepitch rewind: a salvaged motor with a new winding, as a generator."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from optimizer.commands.answer import answer, written
from optimizer.commands.command import Command
from optimizer.commands.options import FILE, file_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.rewind import Option, RewindBrief


@click.command(cls=Command, short_help="Rewind a salvaged motor as a generator.")
@click.argument("spec", type=FILE)
@file_option("--load", "load_path", "Load (TOML) in place of load_ohm.")
@out_option("Folder for page, table, plots and JSON.")
@json_option
def rewind(spec: Path, load_path: Path | None, folder: Path | None, as_json: bool) -> None:
    """Rewind the salvaged motor in SPEC (a TOML file) as a generator.

    Tries every wire at hand that fits the old winding's room and picks one for the stated load.
    """
    from optimizer.motor_file import read_rewind
    from optimizer.rewind import pick, sweep
    from optimizer.rewind_words import rewind_document

    brief = read_rewind(spec)
    if load_path is not None:
        from optimizer.load_file import read_load

        brief = replace(brief, load=read_load(load_path))
    options = sweep(brief)
    chosen = pick(options)
    told = written(folder, lambda: _files(brief, options, chosen))
    answer(rewind_document(brief, options, chosen), [*_lines(brief, options, chosen), *told], as_json)


def _files(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, bytes]:
    from optimizer.rewind_report import rewind_files

    return rewind_files(brief, options, chosen)


def _lines(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> list[str]:
    from optimizer.caution_words import caution_lines
    from optimizer.rewind_words import as_found, headline, notes, rewind_hazards, taps
    from optimizer.wording import number

    old = as_found(brief)
    head = f"{'wire mm':>9} {'turns':>6} {'volts':>8} {'ohms':>8} {'best W':>8} {'load V':>8} {'load W':>8} {'room':>7}"
    found = f"{brief.motor.diameter * 1e3:>9.3g} {brief.motor.turns:>6.3g} {number(old.volts):>8} {number(old.ohms):>8}"
    rows = [
        head,
        f"{found} {number(old.best_watts):>8}  as found, through the commutator",
        *(_row(o, o is chosen) for o in options),
    ]
    tapped = [
        f"  {tap.output:<13} {number(tap.volts):>8} V {'rms' if tap.alternating else 'direct':<7} "
        f"{number(tap.ohms):>8} Ω {number(tap.best_watts):>8} W at best"
        for tap in taps(brief, chosen)
    ]
    remarks = [f"- {note}" for note in notes(brief, chosen)]
    return [
        brief.motor.title, "", *caution_lines(rewind_hazards(brief, chosen)), headline(brief, chosen), "", *rows, "",
        "The same winding, tapped in other ways", *tapped, "", *remarks,
    ]  # fmt: skip


def _row(option: Option, chosen: bool) -> str:
    from optimizer.wording import number, percent

    rewound = option.rewound
    load = "".join(
        "        –" if value is None else f" {number(value):>8}"
        for value in (option.load_volts, option.load_watts)
    )
    return (
        f"{rewound.wire.diameter_mm:>9g} {rewound.turns:>6} {number(option.volts):>8} {number(option.ohms):>8} "
        f"{number(option.best_watts):>8}{load} {percent(rewound.room_share):>7}{'  < chosen' if chosen else ''}"
    )
