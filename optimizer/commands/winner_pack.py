"""The build pack of a search's winner, in a folder beside its result."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import click

from geometry.solids import PrintOptions
from geometry.toml_lines import line_of
from geometry.toml_reading import Fault, FileFaults
from optimizer.brief import Brief
from optimizer.build_pack import build_pack
from optimizer.commands.template import show_warnings
from optimizer.pack_parts import PackFault, PackOptions, fitting_cover
from optimizer.result import Result


def require_pack(brief: Brief, path: Path) -> None:
    """Raise `FileFaults`, before any search, when no winner of the brief could be printed."""
    usual = PrintOptions()
    found: list[tuple[str, str]] = []
    try:
        fitting_cover(brief.air_gap)
    except PackFault as fault:
        found.append(("space.air_gap_mm", str(fault).removeprefix("air_gap_mm ")))
    need = usual.least_wall + usual.pocket_clearance
    if brief.space.wall < need - 1e-9:
        must = f"must be at least {_mm(need)} for parts to print, was {_mm(brief.space.wall)}"
        found.append(("space.wall_mm", must))
    if found:
        text = path.read_text(encoding="utf-8")
        raise FileFaults(tuple(Fault(str(path), line_of(text, key), key, words) for key, words in found))


def winner_pack(result: Result) -> dict[str, bytes]:
    """The pack's files, in the folder `pack`; what the builder must know goes to standard error."""
    try:
        pack = build_pack(result.best.layout, PackOptions(), result=result)
    except PackFault as fault:
        raise click.ClickException(f"--pack: {fault}") from fault
    show_warnings(pack.warnings)
    return {f"pack/{name}": content for name, content in pack.files.items()}


def _mm(length: float) -> str:
    return f"{Decimal(repr(round(length, 9))).scaleb(3).normalize():f}"
