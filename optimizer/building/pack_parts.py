"""The parts to print for a build pack: made once, cut for the printer's bed where need be, with words for faults."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from geometry.machine.layout import Layout
from geometry.parts.bed import parts_for_bed
from geometry.parts.carrier import carrier_part, cover_part
from geometry.parts.former import former_part
from geometry.parts.pockets import GLUE_LINE, MAGNET_TOLERANCE, PrintOptions
from geometry.parts.solids import Part

THINNEST_COVER = 0.2e-3  # m, one layer of a common printer
UNDER_COVER = MAGNET_TOLERANCE + GLUE_LINE  # m, from a magnet's face to the cover
LEAST_AIR_GAP = round(
    PrintOptions().running_clearance + UNDER_COVER + THINNEST_COVER, 9
)  # m, takes a cover and runs clear


class PackFault(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """A pack that cannot be made; the message names the option, what it must be and what it was."""


class WillBurst(PackFault):
    """A machine that bursts at its own speed, whose parts nobody said to make even so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackOptions:
    """How a pack is made. Lengths in m.

    paper: "A4" or "Letter". kerf: width of the cut for DXF and SVG. cover: thickness of the cover, None for
    what the air gap leaves room for, at most the usual. bed: width and depth of the printer's bed, None for
    the brief's, if any. even_so: whether to make the parts of a machine that bursts at its own speed.
    """

    paper: str = "A4"
    kerf: float = 0.0
    pocket_clearance: float = PrintOptions().pocket_clearance
    cover: float | None = None
    bed: tuple[float, float] | None = None
    even_so: bool = False

    def printing(self, layout: Layout) -> PrintOptions:
        """Options of the parts. Raises PackFault and ValueError."""
        cover = self.cover if self.cover is not None else fitting_cover(layout.air_gap)
        usual = PrintOptions()
        # with a coil on each side the floor is a cover, too
        floor = min(usual.floor, cover) if layout.sides > 1 else usual.floor
        depth = min(usual.letter_depth, floor / 3)
        return PrintOptions(
            pocket_clearance=self.pocket_clearance, cover=cover, floor=floor, letter_depth=depth
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PackParts:
    """Parts as designed (`whole`, the carrier first) and as printed (`pieces`), and what was done for the bed."""

    printing: PrintOptions
    whole: tuple[Part, ...]
    pieces: tuple[Part, ...]
    warnings: tuple[str, ...] = field(default=())


def fitting_cover(air_gap: float) -> float:
    """The usual cover, or the thickest that leaves the running clearance of a narrow air gap, m.

    Raises PackFault when not even one printed layer fits.
    """
    usual = PrintOptions()
    room = air_gap - usual.running_clearance - UNDER_COVER
    if room < THINNEST_COVER - 1e-9:
        raise PackFault(
            f"air_gap_mm must be at least {LEAST_AIR_GAP * 1e3:.3g} to take a cover over the magnets,"
            f" was {air_gap * 1e3:.3g}"
        )
    return min(usual.cover, round(room, 6))


def pack_parts(
    layout: Layout, options: PackOptions, brief_bed: tuple[float, float] | None = None
) -> PackParts:
    """All parts of a pack. Raises PackFault when one cannot be made, or not even cut to fit the bed (mm) asked for.

    A bed that only the brief gives, and that no cut fits, is a warning: the whole part is handed over.
    """
    try:
        printing = options.printing(layout)
        whole = tuple(_whole(layout, printing))
        made = PackParts(printing=printing, whole=whole, pieces=whole)
        bed = options.bed or brief_bed
        return made if bed is None else _for_bed(made, bed, asked=options.bed is not None)
    except ValueError as error:
        raise PackFault(str(error)) from error


def _whole(layout: Layout, printing: PrintOptions) -> Iterator[Part]:
    yield carrier_part(layout, printing)
    if layout.carrier.carriers > 1:
        yield carrier_part(layout, printing, second=True)
    yield cover_part(layout, printing)
    for side in range(layout.sides):
        yield former_part(layout, printing, side)


def _for_bed(made: PackParts, bed: tuple[float, float], *, asked: bool) -> PackParts:
    pieces: list[Part] = []
    warnings: list[str] = []
    for part in made.whole:
        cut, warning = parts_for_bed(part, (bed[0] * 1e3, bed[1] * 1e3))
        if warning is not None and len(cut) == 1 and asked:
            raise PackFault(f"bed: {warning}")
        pieces.extend(cut)
        warnings.extend([warning] if warning else [])
    return replace(made, pieces=tuple(pieces), warnings=tuple(warnings))
