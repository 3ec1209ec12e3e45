"""The build pack of a search's winner, in a folder beside its result."""

from __future__ import annotations

import click

from geometry.files.key_tables import key, refuse, rule
from geometry.machine.layout_file import millimetres
from geometry.parts.pockets import PrintOptions
from optimizer.brief.brief import BriefSpaceTable, BriefTable
from optimizer.building.pack_parts import LEAST_AIR_GAP, PackFault, PackOptions, WillBurst
from optimizer.commands.template import show_warnings
from optimizer.packs.build_pack import build_pack
from optimizer.packs.result_files import ShownResult

LEAST_WALL = round(PrintOptions().min_wall + PrintOptions().pocket_clearance, 9)  # m, around a pocket


class _PrintedSpaceTable(BriefSpaceTable):
    @rule("wall")
    @classmethod
    def _printed(cls, wall: float) -> float:
        if wall < LEAST_WALL - 1e-9:
            refuse(f"be at least {millimetres(LEAST_WALL)} for parts to print", millimetres(wall))
        return wall

    @rule("air_gap")
    @classmethod
    def _covered(cls, gap: float) -> float:
        if gap < LEAST_AIR_GAP - 1e-9:
            refuse(
                f"be at least {millimetres(LEAST_AIR_GAP)} to take a cover over the magnets", millimetres(gap)
            )
        return gap


class PrintedBriefTable(BriefTable):
    """A brief whose winner is to be printed: what would keep every winner from it is refused before any search."""

    space: _PrintedSpaceTable = key("space")  # pyright: ignore[reportIncompatibleVariableOverride] - frozen


def winner_pack(found: ShownResult, *, even_so: bool = False) -> dict[str, bytes]:
    """The pack's files, in the folder `pack`; what the builder must know goes to standard error."""
    try:
        pack = build_pack(found.machine.layout, PackOptions(even_so=even_so), shown=found)
    except WillBurst as fault:
        choice = "--even-so makes them all the same, without --pack the rest is written"
        raise click.ClickException(f"--pack: {fault}; {choice}") from fault
    except PackFault as fault:
        raise click.ClickException(f"--pack: {fault}") from fault
    show_warnings(pack.warnings)
    return {f"pack/{name}": content for name, content in pack.files.items()}
