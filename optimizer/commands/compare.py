"""polepitch compare: machines side by side under the same rig and load."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from optimizer.commands.numbers import Number

if TYPE_CHECKING:
    from optimizer.compare import Entry
    from optimizer.loads import Load
    from optimizer.rig import Rig


@click.command(short_help="Set machines side by side under one rig and load.")
@click.argument("machines", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--rig", "rig_path", type=click.Path(path_type=Path), help="Rig (TOML) that turns them.")
@click.option(
    "--load", "load_path", type=click.Path(path_type=Path),
    help="Load (TOML), for which a motor's wire is picked as well; without, each its best.",
)
@click.option("--rpm", type=Number(1, 100_000), help="Speed ahead of their gears, without a rig.")
@click.option(
    "--prices", "prices_path", type=click.Path(path_type=Path), help="File (TOML) with a table [prices]."
)
@click.option(
    "--equal", multiple=True, type=click.Choice(["envelope", "copper", "wire"]),
    help="Compare the coil shapes of one BRIEF on equal terms instead. May be given more than once.",
)  # fmt: skip
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), help="Folder for page, table, plots and JSON."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def compare(  # noqa: PLR0913, PLR0917 - one for each option
    machines: tuple[Path, ...],
    rig_path: Path | None,
    load_path: Path | None,
    rpm: float | None,
    prices_path: Path | None,
    equal: tuple[str, ...],
    folder: Path | None,
    as_json: bool,
) -> None:
    """Set MACHINES (layouts or motors, TOML files) side by side under the same rig and load.

    Without a rig they turn at the same speed: that of --rpm, or the first machine's own. With --equal, the only file
    is a BRIEF, whose coil shapes are compared before the same magnets.
    """
    if equal:
        from optimizer.commands.fair import compare_shapes

        if len(machines) != 1 or any((rig_path, load_path, rpm, prices_path)):
            raise click.UsageError("--equal: must be given with one BRIEF and none of --rig, --load, --rpm, --prices")
        compare_shapes(machines[0], equal, folder, as_json)
        return
    from optimizer.compare import compare as compared
    from optimizer.compare_report import compare_document, compare_files
    from optimizer.machines import read_machine, read_prices
    from optimizer.output import check_folder, write_folder
    from optimizer.rig_file import read_rig

    if rig_path is not None and rpm is not None:
        raise click.UsageError(
            "--rpm: must be left out when --rig is given, since the hand on the rig sets the speed"
        )
    if folder is not None:
        check_folder(folder)
    prices = None if prices_path is None else read_prices(prices_path)
    rig = None if rig_path is None else read_rig(rig_path)
    load = None if load_path is None else _load(load_path)
    found = [read_machine(path, prices, load) for path in machines]
    speed = found[0].speed_rpm if rpm is None else rpm
    entries = compared(found, load, rig, speed)
    written: list[str] = []
    if folder is not None:
        files = compare_files(entries, load, rig, speed)
        write_folder(folder, files)
        written = ["", f"wrote {len(files)} files to {folder}: {', '.join(files)}"]
    if as_json:
        click.echo(json.dumps(compare_document(entries, load, rig, speed), ensure_ascii=False))
    else:
        click.echo("\n".join([*_lines(entries, load, rig, speed), *written]))


def _load(path: Path) -> Load:
    from optimizer.load_file import read_load

    return read_load(path)


def _lines(entries: tuple[Entry, ...], load: Load | None, rig: Rig | None, speed: float) -> list[str]:
    from optimizer.compare import verdicts
    from optimizer.compare_report import condition_words, headline

    width = max(len(entry.machine.name) for entry in entries)
    effort = "force N" if rig else "mN·m"
    head = f"{'':<{width}} {'rpm':>7} {'open V':>7} {'load V':>7} {'load W':>7} {'hand W':>7} {effort:>8}"
    head += f" {'mass g':>7} cost"
    lines = [f"{len(entries)} machines {condition_words(load, rig, speed)}", "", headline(entries), "", head]
    lines += [_row(entry, width, rig is not None) for entry in entries]
    return [*lines, "", *(f"{e.machine.name}: {v}" for e, v in zip(entries, verdicts(entries), strict=True))]


def _row(entry: Entry, width: int, forced: bool) -> str:
    machine = entry.machine
    effort = (entry.hand_force or 0.0) if forced else 1e3 * (entry.hand_torque or 0.0)
    values = (entry.rpm, entry.open_volts, entry.volts, entry.watts, entry.hand_watts)
    cost = "not known" if machine.cost is None else f"{machine.cost:.2f} {machine.currency}"
    figures = " ".join(f"{value:>7.3g}" for value in values)
    return f"{machine.name:<{width}} {figures} {effort:>8.3g} {machine.mass * 1e3:>7.3g} {cost}"
