"""What all parts to print share: the options, the part itself, and plane shapes whose area is exact."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from math import acos, isfinite, pi, sin

import numpy as np
from shapely import LinearRing, Polygon

from geometry.curves.curve import Curve, polyline
from geometry.machine.layout import Layout
from geometry.parts.lettering import Shape, arc_text
from geometry.parts.meshes import Mesh

SAGITTA = 5e-6  # m, most that a chord of a printed part leaves its arc
LETTER_HEIGHTS = tuple(
    millimetres * 1e-3 for millimetres in (6, 5, 4.5, 4, 3.5, 3, 2.5)
)  # m, largest that fits wins
MARGIN = 0.5e-3  # m, from a letter to any edge
LARGEST_CLEARANCE = 1e-3  # m; more is a slip of the unit
GLUE_LINE = 0.15e-3  # m, thickness of glue under magnets, cover and carrier; common practice, no source
MAGNET_TOLERANCE = 0.1e-3  # m, either way, of a bought magnet's thickness, plating included; makers' usual limit


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintOptions:
    """How parts are printed; all lengths in m.

    pocket_clearance: on a pocket's diameter, 0 to 1 mm. floor: under the magnets. min_wall: least material
    between pockets, and to rim and bore, once the clearance is taken off. letter_depth: of engraved letters,
    at most a third of the floor. cover: thickness of the cover. running_clearance: least air that must stay
    between turning and standing parts. plate: thickness of the former's plate. peg_rise: by how much cores and
    islands stand above the bundle. exit_diameter: of a hole for a wire's end, unless wire or bundle call for another.
    Raises ValueError that names the option, what it must be and what it was.
    """

    pocket_clearance: float = 0.2e-3
    floor: float = 1.2e-3
    min_wall: float = 0.4e-3
    letter_depth: float = 0.4e-3
    cover: float = 0.6e-3
    running_clearance: float = 0.4e-3
    plate: float = 2.5e-3
    peg_rise: float = 0.0
    exit_diameter: float = 1.5e-3

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            may_vanish = field.name in ("pocket_clearance", "peg_rise")
            if not (isfinite(value) and (value > 0 or (may_vanish and value == 0))):
                bound = "zero or more" if may_vanish else "above zero"
                raise ValueError(f"{field.name} must be {bound}, was {value * 1e3:g} mm")
        _at_most("pocket_clearance", self.pocket_clearance, LARGEST_CLEARANCE, "on the diameter")
        _at_most("letter_depth", self.letter_depth, self.floor / 3, "a third of floor")
        _at_most("letter_depth", self.letter_depth, self.plate / 3, "a third of plate")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part to print, lying flat on z = 0.

    mesh: in mm. volume: m³, from the plane shapes, not from the mesh. deep: where no cut for splitting may
    pass (pockets, cores, legs of a channel, holes; m). thickness: of the plate that a cut would show, m. notes: for the
    builder.
    """

    name: str
    mesh: Mesh
    volume: float
    deep: Shape
    thickness: float
    notes: tuple[str, ...] = ()


def disc(center: complex, radius: float) -> Polygon:
    """A circle as a polygon of the circle's own area, m."""
    half = acos(1 - min(SAGITTA / radius, 0.1))
    count = 4 * max(6, int(np.ceil(pi / half / 4)))
    reach = radius * (2 * pi / count / sin(2 * pi / count)) ** 0.5
    points = center + reach * np.exp(2j * pi * np.arange(count) / count)
    return Polygon(np.column_stack((points.real, points.imag)))


def annulus(inner: float, outer: float) -> Polygon:
    """What lies between two circles about the shaft, m."""
    return Polygon(disc(0, outer).exterior, [disc(0, inner).exterior])


def annulus_area(inner: float, outer: float) -> float:
    """m²."""
    return pi * (outer**2 - inner**2)


def region(curve: Curve) -> Polygon:
    """What a closed curve encloses, m."""
    points = polyline(curve, step=1.0, sagitta=SAGITTA)
    return Polygon(LinearRing(np.column_stack((points.real, points.imag))))


def ring_texts(
    words: str,
    radii: Sequence[tuple[float, int]],
    angles: Iterable[float],
    mirrored: bool = False,
    maximum: float = 1.0,
) -> Iterator[Shape]:
    """Places for words bent about the shaft, largest letters first.

    radii: circles (m) that the text lies against, each with +1 when it lies outside of the circle, 0 on it,
    −1 inside. angles: polar angles of the middle of the words, rad. mirrored: to be read from below. most:
    greatest height, m.
    """
    places = list(angles)
    for height in (height for height in LETTER_HEIGHTS if height <= maximum):
        for radius, side in radii:
            bulge = 0.1 * height**2 / radius  # by which the corners of a letter leave the ring
            middle = radius + side * (height / 2 + bulge + 1.02 * MARGIN)
            if middle > height:
                yield from (arc_text(words, height, middle, angle, mirrored) for angle in places)


def check_air_gap(layout: Layout, options: PrintOptions) -> float:
    """Air left between cover and nearest copper or core, m; ValueError when it is less than must stay.

    The carrier's face stands nearer the copper than a magnet of nominal thickness, by the magnets' tolerance; on
    it come the cover's glue line and the cover.
    """
    under = MAGNET_TOLERANCE + GLUE_LINE
    left = layout.air_gap - under - options.cover - options.peg_rise
    if left < options.running_clearance - 1e-9:
        cores = f" and cores that rise {options.peg_rise * 1e3:g} mm" if options.peg_rise else ""
        raise ValueError(
            f"cover ({options.cover * 1e3:g} mm){cores} must leave {options.running_clearance * 1e3:g} mm "
            f"of the air gap ({layout.air_gap * 1e3:g} mm) to run in, but with {under * 1e3:g} mm for glue and "
            f"the magnets' tolerance left {left * 1e3:.3g} mm: "
            "take a thinner cover or a larger air gap"
        )
    return left


def _at_most(name: str, value: float, limit: float, meaning: str) -> None:
    if value > limit * (1 + 1e-9):
        raise ValueError(f"{name} must be at most {limit * 1e3:.3g} mm ({meaning}), was {value * 1e3:.3g} mm")
