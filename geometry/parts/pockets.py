"""How parts are printed, and what the pockets of a carrier leave, in numbers: no solid is made here."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite, pi

from geometry.drawing.offset import offset_outline
from geometry.drawing.primitives import Circle, Path, outline, outline_area
from geometry.machine.layout import Layout

LARGEST_CLEARANCE = 1e-3  # m; more is a slip of the unit
GLUE_LINE = 0.15e-3  # m, thickness of glue under magnets, cover and carrier; common practice, no source
MAGNET_TOLERANCE = (
    0.1e-3  # m, either way, of a bought magnet's thickness, plating included; makers' usual limit
)


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


def _at_most(name: str, value: float, limit: float, meaning: str) -> None:
    if value > limit * (1 + 1e-9):
        raise ValueError(f"{name} must be at most {limit * 1e3:.3g} mm ({meaning}), was {value * 1e3:.3g} mm")


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


def check_back(layout: Layout, options: PrintOptions) -> float:
    """Air left between the floor under the magnets and a coil behind it, m; ValueError when it is too little."""
    left = layout.air_gap - GLUE_LINE - options.floor - options.peg_rise
    if layout.sides > 1 and left < options.running_clearance - 1e-9:
        raise ValueError(
            f"floor ({options.floor * 1e3:g} mm) and glue ({GLUE_LINE * 1e3:g} mm) must leave "
            f"{options.running_clearance * 1e3:g} mm of the air gap "
            f"({layout.air_gap * 1e3:g} mm) on the second side to run in, but left {left * 1e3:.3g} mm: "
            "take a thinner floor or a larger air gap"
        )
    return left


def pocket_walls(layout: Layout, pocket_clearance: float) -> dict[str, float]:
    """Material left around each pocket once the clearance is taken off, m."""
    space, carrier = layout.space, layout.carrier
    nearest, farthest = carrier.magnet.reach(carrier.pitch_radius)
    return {
        "its neighbour": float(carrier.magnet.beside(carrier.pitch_radius, carrier.count)) - pocket_clearance,
        "the rim": space.outer_radius - float(farthest) - pocket_clearance / 2,
        "the bore": float(nearest) - pocket_clearance / 2 - space.bore_radius,
    }


def pocket_edge(layout: Layout, pocket_clearance: float) -> Path | Circle:
    """The edge, m, of the pocket on the x axis: half the clearance outside the magnet's, all around."""
    edge = outline(layout.carrier.magnet.outline(layout.carrier.pitch_radius))
    assert edge is not None
    return offset_outline(edge, pocket_clearance / 2) if pocket_clearance else edge


def pocket_area(layout: Layout, pocket_clearance: float) -> float:
    """Area of a pocket, m²."""
    return outline_area(pocket_edge(layout, pocket_clearance))


def pocket_floor(layout: Layout, options: PrintOptions) -> float:
    """Plastic under the magnets, m; none where they stand on a steel plate."""
    return 0.0 if layout.carrier.plate else options.floor


def pocket_depth(layout: Layout) -> float:
    """Of a pocket, m: the thickest magnet and the glue under it; on steel the carrier has a glue line, too."""
    glue = 0.0 if layout.carrier.plate else GLUE_LINE
    return layout.carrier.magnet.thickness + MAGNET_TOLERANCE + glue


def annulus_area(inner: float, outer: float) -> float:
    """m²."""
    return pi * (outer**2 - inner**2)
