"""polepitch rewind: a salvaged motor with a new winding, as a generator."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from optimizer.terminal.answer import answer, written
from optimizer.terminal.command import Command
from optimizer.terminal.options import FILE, file_option, json_option, out_option

if TYPE_CHECKING:
    from optimizer.motors.rewinding import Option, RewindBrief


@click.command(cls=Command, short_help="Rewind a salvaged motor as a generator.")
@click.argument("spec", type=FILE)
@file_option("--load", "load_path", "Load (TOML) in place of load_ohm.")
@out_option("Folder for page, table, plots and JSON.")
@json_option
def rewind(spec: Path, load_path: Path | None, folder: Path | None, as_json: bool) -> None:
    """Rewind the salvaged motor in SPEC (a TOML file) as a generator.

    Tries every wire at hand that fits the old winding's room and picks one for the stated load.
    """
    from optimizer.motors.motor_file import read_rewind
    from optimizer.motors.rewinding import pick, sweep
    from optimizer.terminal.subjects import require_no_other_layout
    from optimizer.words.rewind_words import rewind_document

    brief = read_rewind(spec)
    if load_path is not None:
        from optimizer.loads.load_file import read_load

        brief = replace(brief, load=read_load(load_path))
    require_no_other_layout(folder)
    options = sweep(brief)
    chosen = pick(options)
    told = written(folder, lambda: _files(brief, options, chosen))
    answer(rewind_document(brief, options, chosen), [*_lines(brief, options, chosen), *told], as_json)


def _files(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, bytes]:
    from optimizer.reports.rewind_report import rewind_files

    return rewind_files(brief, options, chosen)


def _lines(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> list[str]:
    from optimizer.motors.rewinding import old_coils
    from optimizer.words.caution_words import caution_lines
    from optimizer.words.rewind_words import headline, notes, old_name, rewind_hazards, taps
    from optimizer.words.wording import number, percent

    head = f"{'wire mm':>9} {'turns':>6} {'volts':>8} {'ohms':>8} {'best W':>8} {'load V':>8} {'load W':>8} {'room':>7}"
    rows = [
        head,
        *(f"{_row(option)} {'–':>7}  {old_name(option)}" for option in old_coils(brief)),
        *(
            f"{_row(option)} {percent(option.armature.room_share):>7}{'  < chosen' if option is chosen else ''}"
            for option in options
        ),
    ]
    tapped = [
        f"  {tap.output:<13} {number(tap.volts):>8} V {'rms' if tap.alternating else 'direct':<7} "
        f"{number(tap.ohms):>8} Ω {number(tap.best_watts):>8} W at best"
        + (f" into {number(tap.best_ohms)} Ω" if tap.best_watts else "")
        for tap in taps(brief, chosen)
    ]
    remarks = [f"- {note}" for note in notes(brief, chosen)]
    return [
        brief.motor.title, "", *caution_lines(rewind_hazards(brief, chosen)), headline(brief, chosen), "", *rows, "",
        "The new winding, tapped in other ways", *tapped, "", *remarks,
    ]  # fmt: skip


def _row(option: Option) -> str:
    from optimizer.words.rewind_words import wire_name
    from optimizer.words.wording import number

    load = "".join(
        "        –" if value is None else f" {number(value):>8}"
        for value in (option.load_volts, option.load_watts)
    )
    return (
        f"{wire_name(option):>9} {option.armature.turns:>6.4g} {number(option.volts):>8} {number(option.ohms):>8} "
        f"{number(option.best_watts):>8}{load}"
    )
