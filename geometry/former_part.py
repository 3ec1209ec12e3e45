"""The former to print: a plate with pegs or cores, holes for the wire's ends, and marks to wind by."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from shapely import LineString, Polygon, get_parts, unary_union
from shapely.affinity import rotate

from geometry.curve import rotated_curve
from geometry.former_marks import back_marks, face_marks
from geometry.layout import Layout
from geometry.lettering import Shape
from geometry.meshes import BEYOND, Slab, carved
from geometry.pegs import pegs
from geometry.series import SeriesCoil, coils_around, side_coils
from geometry.solids import (
    Part,
    PrintOptions,
    annulus,
    annulus_area,
    check_air_gap,
    disc,
    enclosed_area,
    region,
)

FLANGE = 5e-3  # m, most that the plate reaches beyond the winding
NARROWEST = 0.3e-3  # m; a narrower gap between two pegs is filled, for no nozzle can leave it open
WEB = 0.8e-3  # m, least material between a hole and the rim or another hole
APART = 0.2e-3  # m, from a hole to the peg or core beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerPlan:
    """The former seen from above, which is as the template shows it; shapes in m.

    plate: with its holes. posts: pegs or cores. exits: holes and the notch for the wire's ends.
    posts_area: m², exact where posts stand apart.
    """

    inner: float
    outer: float
    posts: list[Polygon]
    posts_area: float
    exits: list[Shape]

    @property
    def plate(self) -> Shape:
        """The plate without its holes, m."""
        return annulus(self.inner, self.outer).difference(unary_union(self.exits))


def former_part(layout: Layout, options: PrintOptions | None = None, side: int = 0) -> Part:
    """The former, its pegs up; seen so, it is the plan of the template, and so are its arrows and its start.

    It may stay behind the winding: the pegs look at the magnets and are as high as the bundle, plus
    `peg_rise`. The bundles of a three-phase serpentine are wound on it one after another and lifted off.
    side: 1 for the winding behind a carrier that has one on each side. Raises ValueError when the holes do not pass
    the wire, or cover and pegs leave too little air.
    """
    options = options or PrintOptions()
    check_air_gap(layout, options)
    plan = former_plan(layout, options, side)
    plate, rise = options.plate, wound_height(layout) + options.peg_rise
    above, below = _marks(layout, options, plan, side)
    disc_shape = annulus(plan.inner, plan.outer)
    through = disc_shape.intersection(unary_union(plan.exits)).area
    solid = (annulus_area(plan.inner, plan.outer) - through) * plate + plan.posts_area * rise
    return Part(
        name="former_side_2" if side else "former",
        mesh=carved(
            [Slab(disc_shape, 0, plate), *(Slab(post, 0, plate + rise) for post in plan.posts)],
            above=[*(Slab(shape, -BEYOND, plate) for shape in plan.exits), *above],
            below=below,
        ),
        volume=solid - sum(mark.volume for mark in (*above, *below)),
        deep=unary_union([*plan.posts, *plan.exits]),
        thickness=plate,
        notes=_notes(layout, options),
    )


def wound_height(layout: Layout) -> float:
    """Height in m of what is wound in one piece: half a bundle when the phases are interleaved."""
    winding = layout.winding
    halved = layout.phases > 1 and not layout.topology.per_sector and winding.stacking == "interleaved"
    return winding.height / 2 if halved else winding.height


def _marks(
    layout: Layout, options: PrintOptions, plan: FormerPlan, side: int
) -> tuple[list[Slab], list[Slab]]:
    """What is engraved from above, in the plate and in the tops of cores, and from below."""
    face, depth = face_marks(layout, plan.plate, plan.posts, side), options.letter_depth
    top = options.plate + wound_height(layout) + options.peg_rise
    above = [Slab(shape, options.plate - depth, options.plate) for shape in face.plate]
    above += [Slab(shape, top - depth, top) for shape in face.tops]
    return above, [Slab(shape, 0, depth) for shape in back_marks(layout, plan.plate, side)]


def former_plan(layout: Layout, options: PrintOptions, side: int = 0) -> FormerPlan:
    """Plate, posts and holes of the former."""
    outer = min(layout.space.outer_radius, layout.winding.outer_radius + FLANGE)
    posts, area = _cores(layout, side) if layout.topology.per_sector else _pegs(layout, side)
    exits = _exits(layout, outer, exit_diameter(layout, options), side)
    return FormerPlan(inner=layout.space.bore_radius, outer=outer, posts=posts, posts_area=area, exits=exits)


def exit_diameter(layout: Layout, options: PrintOptions) -> float:
    """Diameter in m of the holes for the wire's ends, hidden under the bundle unless that is too narrow.

    Raises ValueError when `exit_diameter` does not pass the wire.
    """
    least = layout.winding.wire.overall_diameter + 0.1e-3
    if options.exit_diameter < least:
        raise ValueError(
            f"exit_diameter must be at least {least * 1e3:.3g} mm to pass the wire, "
            f"was {options.exit_diameter * 1e3:.3g} mm"
        )
    return max(least, min(options.exit_diameter, layout.winding.width - 2 * APART))


def _cores(layout: Layout, side: int) -> tuple[list[Polygon], float]:
    """What fills the hole of each coil, and the area of all, m²."""
    hole = layout.topology.turn(layout.envelope, -layout.winding.width / 2)
    cores = [region(rotated_curve(hole, coil.angle)) for coil in coils_around(layout, side)]
    return cores, enclosed_area(hole) * len(cores)


def _pegs(layout: Layout, side: int) -> tuple[list[Polygon], float]:
    """The pegs, those nearer than a nozzle can part joined into one post, and the area of all, m²."""
    posts = pegs(layout, side)
    joined = unary_union([disc(center, radius) for center, radius in posts])
    gaps = [abs(a - b) - reach - other for i, (a, reach) in enumerate(posts) for b, other in posts[:i]]
    if min(gaps) > NARROWEST:
        return _polygons(joined), sum(pi * radius**2 for _, radius in posts)
    filled = joined.buffer(NARROWEST / 2, quad_segs=32).buffer(-NARROWEST / 2, quad_segs=32)
    return _polygons(filled), filled.area


def _exits(layout: Layout, rim: float, diameter: float, side: int) -> list[Shape]:
    """A hole at each coil's start and one beside it for its finish; the first start opens into the rim."""
    winding = layout.winding
    start = winding.outer_radius - winding.width + APART + diameter / 2
    finish = max(winding.outer_radius - diameter / 2, start)
    aside = (diameter + WEB) / finish
    exits: list[Shape] = []
    for coil in _wound(layout, side):
        exits.append(_exit(start, rim, diameter, coil.angle, notch=coil == side_coils(layout, side)[0]))
        exits.append(_exit(finish, rim, diameter, coil.angle + coil.sense * aside, notch=False))
    return exits


def _wound(layout: Layout, side: int) -> list[SeriesCoil]:
    """What is wound on one former at a time."""
    return coils_around(layout, side) if layout.topology.per_sector else side_coils(layout, side)[:1]


def _exit(center: float, rim: float, diameter: float, angle: float, notch: bool) -> Shape:
    """A round hole at the radius `center`; a notch from there to the rim if the web were too thin."""
    hole: Shape = disc(center, diameter / 2)
    if notch or rim - center - diameter / 2 < WEB:
        hole = LineString([(center, 0), (rim + 2 * diameter, 0)]).buffer(diameter / 2, quad_segs=16)
    return rotate(hole, angle, origin=(0, 0), use_radians=True)


def _polygons(shape: Shape) -> list[Polygon]:
    return [part for part in get_parts(shape).tolist() if isinstance(part, Polygon)]


def _notes(layout: Layout, options: PrintOptions) -> tuple[str, ...]:
    what = "core" if layout.topology.per_sector else "peg"
    start = "The start lies in the notch, under the turns; both ends leave through the back of the plate."
    if layout.phases > 1 and layout.topology.per_sector:
        start = "The start of A1 lies in the notch, under the turns; all ends leave through the back of the plate."
    printed = f"Print with the {what}s up. Seen so, the former is the plan of the template."
    return (f"{printed} {_order(layout)}", _standing(layout, options, what), start)


def _standing(layout: Layout, options: PrintOptions, what: str) -> str:
    """How high the posts are, and whether the former stays behind the winding."""
    high = f"stand {(wound_height(layout) + options.peg_rise) * 1e3:.3g} mm high"
    if layout.phases > 1 and not layout.topology.per_sector:
        return (
            f"The pegs {high}, as high as one {_piece(layout)}: wind {_pieces(layout)}, fix each with varnish, "
            "lift it off, and lay them over each other on the template."
        )
    if layout.carrier.carriers > 1:
        return (
            f"The {what}s {high}. A carrier turns on either side of the winding, so the former cannot stay: fix what "
            "is wound, lift it off and hold it by its outer edge."
        )
    turned = (
        "changes the order of the phases"
        if layout.phases > 1
        else "gives the same voltage with the sign reversed"
    )
    return (
        f"The {what}s look at the magnets and {high}, the plate lies behind the winding. "
        f"A winding turned over {turned}."
    )


def _piece(layout: Layout) -> str:
    return "half bundle" if wound_height(layout) < layout.winding.height else "bundle"


def _pieces(layout: Layout) -> str:
    if _piece(layout) == "bundle":
        return f"{layout.phases} of them, alike"
    turns = layout.winding.turns
    return f"two of them for each phase, with {(turns + 1) // 2} and {turns // 2} turns"


def _order(layout: Layout) -> str:
    if not layout.topology.per_sector:
        return (
            "Wind along the arrows, from the notch in the rim to the hole beside it, outside the outer pegs "
            "and inside the inner ones."
        )
    if layout.phases > 1:
        return (
            "Wind each coil along its arrow, from the hole at its start to the hole beside it. Join the finish of "
            "each coil to the start of the next of its phase, in the order of the numbers behind its letter."
        )
    return (
        "Wind each coil along its arrow, from the hole at its start to the hole beside it; arrows of "
        "neighbours are opposite. Join the finish of each coil to the start of the next, in the order of "
        "the numbers."
    )
