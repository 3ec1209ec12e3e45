"""polepitch template: everything needed to build one machine, in one folder."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path

import click

from optimizer.terminal.answer import answer, write_own
from optimizer.terminal.options import (
    FILE,
    Command,
    OneOf,
    even_so_option,
    file_option,
    json_option,
    out_option,
)

OPTION = re.compile(r"^(pocket_clearance|cover|kerf|bed)\b")  # that a fault begins with
BED = re.compile(r"(\d+(?:\.\d+)?)\s*[x×*]\s*(\d+(?:\.\d+)?)", re.IGNORECASE)
LARGEST_BED = 5000  # mm


class _Millimetres(click.ParamType[float]):
    """A length in millimetres, from zero or just above it to `maximum`, as metres."""

    name = "mm"

    def __init__(self, maximum: int, *, positive: bool = False) -> None:
        self._maximum, self._positive = maximum, positive

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        try:
            number = Decimal(str(value))
        except ArithmeticError:
            number = Decimal("nan")
        if not number.is_finite() or not 0 <= number <= self._maximum or (self._positive and number == 0):
            limits = f"above 0, at most {self._maximum}" if self._positive else f"from 0 to {self._maximum}"
            self.fail(f"must be a number of millimetres {limits}, was {str(value)!r}", param, ctx)
        return float(number.scaleb(-3))


class _Bed(click.ParamType[tuple[float, float]]):
    """Width and depth in millimetres, such as 220x220, as metres."""

    name = "XxY"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        found = BED.fullmatch(str(value).strip())
        sides = [float(Decimal(side).scaleb(-3)) for side in found.groups()] if found else []
        if not sides or not all(0 < side <= LARGEST_BED * 1e-3 for side in sides):
            must = "must be width x depth in millimetres, such as 220x220"
            self.fail(f"{must}, was {str(value)!r}", param, ctx)
        return sides[0], sides[1]


@click.command(cls=Command, short_help="Write all that is needed to build a machine.")
@click.argument("layout", type=FILE)
@out_option("Folder for all files.", required=True)
@click.option(
    "--paper", type=OneOf(["A4", "Letter"], case_sensitive=False), default="A4", show_default=True,
    help="Paper of the template.",
)  # fmt: skip
@click.option(
    "--pocket-clearance", "clearance", type=_Millimetres(1), default="0.2", show_default=True,
    help="By how much a pocket is wider than its magnet.",
)  # fmt: skip
@click.option(
    "--kerf", type=_Millimetres(5), default="0", help="Width of the cut, for DXF and SVG.  [default: 0]"
)
@click.option(
    "--cover",
    type=_Millimetres(50, positive=True),
    help="Thickness of the cover.  [default: 0.6, or what fits]",
)
@click.option("--bed", type=_Bed(), help="Printer's bed, such as 220x220: larger parts are cut into pieces.")
@file_option("--brief", "brief_path", "Brief whose prices and printer's bed to use.")
@even_so_option
@click.option("--zip", "zipped", is_flag=True, help="Also pack all files into build_pack.zip.")
@json_option
def template(  # noqa: PLR0913, PLR0917 - one for each option
    layout: Path,
    folder: Path,
    paper: str,
    clearance: float,
    kerf: float,
    cover: float | None,
    bed: tuple[float, float] | None,
    brief_path: Path | None,
    even_so: bool,
    zipped: bool,
    as_json: bool,
) -> None:
    """Write all that is needed to build the machine in LAYOUT (a TOML file).

    A folder with the paper template, DXF and SVG, parts to print, winding card, bill of materials and report.
    """
    from geometry.fit.rules import read_fitting_layout
    from optimizer.brief.brief import read_brief
    from optimizer.building.pack_parts import PackFault, PackOptions, WillBurst
    from optimizer.packs.build_pack import ZIP_NAME, build_pack, zip_bytes
    from optimizer.words.caution_words import caution_document, caution_lines

    machine = read_fitting_layout(layout)
    brief = read_brief(brief_path) if brief_path else None
    options = PackOptions(
        paper=paper, kerf=kerf, pocket_clearance=clearance, cover=cover, bed=bed, even_so=even_so
    )
    try:
        pack = build_pack(machine, options, brief)
    except WillBurst as fault:
        raise click.ClickException(f"{layout}: operation.{fault}; --even-so makes them all the same") from fault
    except PackFault as fault:
        raise click.ClickException(OPTION.sub(lambda name: f"--{name[0].replace('_', '-')}", str(fault))) from fault
    files, warnings = pack.files, list(pack.warnings)
    if zipped:
        files[ZIP_NAME] = zip_bytes(files)
    write_own(folder, files)
    show_warnings(warnings)
    sizes = {name: len(content) for name, content in files.items()}
    rows = [{"name": name, "bytes": size} for name, size in sizes.items()]
    lines = [f"  {name:<20} {size:>9,} bytes" for name, size in sizes.items()]
    told = {"cautions": caution_document(pack.hazards), "out": str(folder), "files": rows, "warnings": warnings}
    answer(told, [*caution_lines(pack.hazards), f"wrote {len(files)} files to {folder}", *lines], as_json)


def show_warnings(warnings: Iterable[str]) -> None:
    """On standard error, a line each."""
    for warning in warnings:
        click.echo(f"warning: {warning}", err=True)
