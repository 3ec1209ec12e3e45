"""The former to print: a plate with cores or islands, holes for the wire's ends, and marks to wind by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon, get_parts, unary_union

from geometry.curves.curve import Line
from geometry.drawing.coil_drawing import former_outlines, former_radius
from geometry.drawing.primitives import Circle, Path, outline_area, point
from geometry.machine.layout import Layout
from geometry.parts.former_marks import (
    APART,
    WireExit,
    back_marks,
    face_marks,
    island_gaps,
    plate_holes,
    wire_exits,
)
from geometry.parts.lettering import Shape
from geometry.parts.meshes import BEYOND, Slab, carved
from geometry.parts.part_words import former_notes
from geometry.parts.pockets import PrintOptions, annulus_area, check_air_gap
from geometry.parts.skein import lifted_off, wound_height
from geometry.parts.solids import Part, annulus, disc, region

NARROWEST = 0.4e-3  # m; no nozzle prints what is thinner, so it is left out of an island
PUSHER = 3e-3  # m, most that a hole measures through which a finished bundle is pushed out


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerPlan:
    """The former seen from above, which is as the template shows it; shapes in m.

    exits: of the wire's ends. holes: in the plate, those to push a bundle out too. posts: cores or islands. deep: cores
    or legs of the channel, which no seam may cut.
    posts_area: m², exact but for what the wire's ends take of an island.
    """

    inner: float
    outer: float
    exits: list[WireExit]
    holes: list[Shape]
    posts: list[Polygon]
    posts_area: float
    deep: Sequence[Shape]

    @property
    def plate(self) -> Shape:
        """The plate without its holes, m."""
        return annulus(self.inner, self.outer).difference(unary_union(self.holes))


def former_part(layout: Layout, options: PrintOptions | None = None, side: int = 0) -> Part:
    """The former, cores or islands up; seen so, it is the plan of the template, and so are its arrows and its start.

    It may stay behind the winding: cores and islands look at the magnets and are as high as the bundle, plus
    `peg_rise`. The bundles of a three-phase serpentine take their shape on it one after another and are lifted off.
    side: 1 for the winding behind a carrier that has one on each side. Raises ValueError when cover and former leave
    too little air.
    """
    options = options or PrintOptions()
    check_air_gap(layout, options)
    plan = former_plan(layout, options, side)
    plate, top = options.plate, options.plate + wound_height(layout) + options.peg_rise
    above, below = _marks(layout, options, plan, side)
    disc_shape = annulus(plan.inner, plan.outer)
    through = disc_shape.intersection(unary_union(plan.holes)).area
    solid = (annulus_area(plan.inner, plan.outer) - through) * plate + plan.posts_area * (top - plate)
    return Part(
        name="former_side_2" if side else "former",
        mesh=carved(
            [Slab(disc_shape, 0, plate), *(Slab(post, 0, top) for post in plan.posts)],
            above=[*(Slab(shape, -BEYOND, plate) for shape in plan.holes), *above],
            below=below,
        ),
        volume=solid - sum(mark.volume for mark in (*above, *below)),
        deep=unary_union([*plan.deep, *plan.holes]),
        thickness=plate,
        notes=former_notes(layout, options),
    )


def _marks(
    layout: Layout, options: PrintOptions, plan: FormerPlan, side: int
) -> tuple[list[Slab], list[Slab]]:
    """What is engraved from above, in the plate or in the tops of cores and islands, and from below."""
    face, depth = face_marks(layout, plan.plate, plan.posts, plan.exits, side), options.letter_depth
    top = options.plate + wound_height(layout) + options.peg_rise
    above = [Slab(shape, options.plate - depth, options.plate) for shape in face.plate]
    above += [Slab(shape, top - depth, top) for shape in face.tops]
    return above, [Slab(shape, 0, depth) for shape in back_marks(layout, plan.plate, plan.exits, side)]


def former_plan(layout: Layout, options: PrintOptions, side: int = 0) -> FormerPlan:
    """Plate, cores or islands, and holes of the former."""
    exits = wire_exits(layout, options.exit_diameter, side)
    outlined = former_outlines(layout, side)
    if layout.topology.concentrated:
        posts, area = [_filled(shape) for shape in outlined], sum(map(outline_area, outlined))
        deep = posts
    else:
        deep = _legs(layout)
        posts, area = _islands(outlined, unary_union(island_gaps(layout, exits)))
    return FormerPlan(
        inner=layout.space.bore_radius,
        outer=former_radius(layout),
        exits=exits,
        holes=[*plate_holes(layout, exits), *(_push_holes(layout) if lifted_off(layout) else ())],
        posts=posts,
        posts_area=area,
        deep=deep,
    )


def _islands(outlined: list[Path | Circle], gaps: Shape) -> tuple[list[Polygon], float]:
    """The islands of a serpentine, and their area, m²; what is too thin to print is left out."""
    rim, edge, hole, bore = map(_filled, outlined)
    whole = [rim.difference(edge), hole.difference(bore)]
    areas = [outline_area(shape) for shape in outlined]
    exact = [areas[0] - areas[1], areas[2] - areas[3]]
    half = NARROWEST / 2
    posts: list[Polygon] = []
    area = 0.0
    for island, its_area in zip(whole, exact, strict=True):
        broad = island.buffer(-half).buffer(half, quad_segs=32)
        thin = island.difference(broad.buffer(half / 10)).area > half**2
        kept = (broad.intersection(island) if thin else island).difference(gaps)
        posts.extend(part for part in get_parts(kept).tolist() if isinstance(part, Polygon))
        area += its_area - (island.area - kept.area)
    return posts, area


def _filled(shape: Path | Circle) -> Polygon:
    return disc(shape.center, shape.radius) if isinstance(shape, Circle) else region(shape.curve)


def _legs(layout: Layout) -> list[Shape]:
    """The straight stretches of a serpentine's channel, m: no cut for splitting may run along them."""
    turn, half = layout.topology.turn(layout.envelope, 0.0), layout.winding.width / 2
    ends = [(point(leg.start), point(leg.end)) for leg in turn if isinstance(leg, Line)]
    return [LineString([(z.real, z.imag) for z in leg]).buffer(half) for leg in ends]


def _push_holes(layout: Layout) -> list[Shape]:
    """A hole under the middle of each leg."""
    diameter = min(PUSHER, layout.winding.width - 2 * APART)
    middles = [leg.at(0.5) for leg in layout.topology.turn(layout.envelope, 0.0) if isinstance(leg, Line)]
    return [disc(point(middle), diameter / 2) for middle in middles] if diameter > 2 * APART else []
