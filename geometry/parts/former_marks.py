"""What is engraved in the former: arrows to wind by, numbers, sides; and where the ends of the wire leave it."""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi, radians, sqrt

from shapely import LineString, Point, Polygon, maximum_inscribed_circle, unary_union
from shapely.affinity import rotate, scale

from geometry.coils.series_order import SeriesCoil
from geometry.coils.topology import sector_axes
from geometry.curves.curve import polyline
from geometry.drawing.coil_drawing import former_radius
from geometry.drawing.connections import beside_angle
from geometry.fit.judge import bundle_polygon
from geometry.machine.layout import Layout
from geometry.parts.lettering import Shape, arrow, first_fit, shaft_path, straight_text, stroke_width
from geometry.parts.solids import LETTER_HEIGHTS, MARGIN, disc, ring_texts
from geometry.stock.wire import Wire

FIN = 2.5e-3  # m, least material between the holes of a start and a finish
APART = 0.2e-3  # m, from a hole to the core or the bundle beside it
ROOM = 0.1e-3  # m, by which a hole is at least wider than the wire


@dataclass(frozen=True, slots=True, kw_only=True)
class WireExit:
    """A hole for one end of a coil's wire: middle at `radius` (m) and `angle` (rad), diameter (m).

    notch: open to the rim of the former. away: which way around words beside it go, to keep clear of the coil's other
    hole.
    """

    coil: SeriesCoil
    finish: bool
    radius: float
    angle: float
    diameter: float
    notch: bool
    away: int

    def shape(self, *, inner: float = 0.0, outer: float = 0.0) -> Shape:
        """The hole, drawn out to `inner` and `outer` (m) where they lie beyond its middle."""
        ends = min(self.radius, inner or self.radius), max(self.radius, outer)
        hole: Shape = disc(self.radius, self.diameter / 2)
        if ends[1] > ends[0]:
            hole = LineString([(end, 0) for end in ends]).buffer(self.diameter / 2, quad_segs=16)
        return rotate(hole, self.angle, origin=(0, 0), use_radians=True)


def wire_exits(layout: Layout, exit_diameter: float, side: int = 0) -> list[WireExit]:
    """The ends of every coil that is wound on the former at once; the first start opens into the rim.

    exit_diameter: of a hole, m, unless bundle or wire call for another.
    """
    return [one for coil in wound_at_once(layout, side) for one in _exits(layout, exit_diameter, coil)]


def wound_at_once(layout: Layout, side: int = 0) -> list[SeriesCoil]:
    """The coils around the shaft; of a three-phase serpentine one bundle after the other is made on the same former."""
    return layout.order.by_phase(side)[:1] if layout.stacked else layout.order.around(side)


def _round_all(wire: Wire) -> float:
    """Diameter of a hole that all strands of a turn pass, m: exact for one and two, a little wide for more."""
    return wire.overall_diameter * (wire.strands if wire.strands < 3 else 1.27 * sqrt(wire.strands))


def _exits(layout: Layout, exit_diameter: float, coil: SeriesCoil) -> Iterator[WireExit]:
    winding = layout.winding
    minimum = _round_all(winding.wire) + ROOM
    start = max(minimum, min(exit_diameter, winding.width - 2 * APART))
    finish = max(minimum, exit_diameter)
    outside = winding.outer_radius + APART + finish / 2
    aside = max(beside_angle(layout), ((start + finish) / 2 + FIN) / outside)
    yield WireExit(
        coil=coil, finish=False, radius=winding.outer_radius - winding.width + APART + start / 2, angle=coil.angle,
        diameter=start, notch=coil.first and coil.phase == 0, away=-coil.sense,
    )  # fmt: skip
    yield WireExit(
        coil=coil, finish=True, radius=outside, angle=coil.angle + coil.sense * aside, diameter=finish,
        notch=False, away=coil.sense,
    )  # fmt: skip


def plate_holes(layout: Layout, exits: list[WireExit]) -> list[Shape]:
    """What the ends take of the former's plate, m."""
    beyond = former_radius(layout) + 2e-3
    return [one.shape(outer=beyond if one.notch else 0.0) for one in exits]


def island_gaps(layout: Layout, exits: list[WireExit]) -> list[Shape]:
    """What the ends take of a serpentine's outer island, m: the notch, and a slot from channel to finish."""
    edge = layout.winding.outer_radius
    holes = zip(exits, plate_holes(layout, exits), strict=True)
    return [one.shape(inner=edge) if one.finish else hole for one, hole in holes]


FACE_TEXT, BACK_TEXT = "MAGNET SIDE", "BACK"
END_HEIGHT = 3.5e-3  # m, at most; larger letters would stand farther from the hole
HEAD = 1.8e-3  # m, width of an arrow's head
LEAST_RING = 3.2e-3  # m, least radius of a core's top that takes an arrow around a number


@dataclass(frozen=True, slots=True)
class FaceMarks:
    """Shapes to engrave in the plate's face and in the tops of cores or islands, m."""

    plate: list[Shape]
    tops: list[Shape]


def face_marks(
    layout: Layout, plate: Shape, posts: Sequence[Polygon], exits: Sequence[WireExit], side: int = 0
) -> FaceMarks:
    """Marks that are seen with cores or islands up; `posts` of cores in the order around the shaft."""
    edges = _edges(plate)
    if not layout.topology.concentrated:
        free = unary_union(list(posts)).buffer(-MARGIN)
        arrows = [mark for angle, sense in _loops(layout, side) for mark in _arrow(layout, free, angle, sense)]
        return FaceMarks([], [*arrows, *_words(free, arrows, edges, layout, exits)])
    free = plate.difference(unary_union(list(posts))).buffer(-MARGIN)
    tops, bare = _core_tops(layout, posts, side)
    arrows = [mark for angle, sense in bare for mark in _arrow(layout, free, angle, sense)]
    taken = [*_bundles(layout, side), *arrows]
    return FaceMarks([*arrows, *_words(free, taken, edges, layout, exits)], tops)


def back_marks(layout: Layout, plate: Shape, exits: Sequence[WireExit], side: int = 0) -> list[Shape]:
    """Marks that are read from behind."""
    free = plate.buffer(-MARGIN)
    numbers = _back_numbers(layout, free, side) if layout.topology.concentrated else []
    return [*numbers, *_words(free, numbers, _edges(plate), layout, exits, mirrored=True)]


def _words(
    free: Shape,
    taken: Sequence[Shape],
    edges: Sequence[tuple[float, int]],
    layout: Layout,
    exits: Sequence[WireExit],
    mirrored: bool = False,
) -> list[Shape]:
    """Which side this is, and each phase's start and finish beside its hole, as far as they have room."""
    side = ring_texts(
        BACK_TEXT if mirrored else FACE_TEXT, edges, [pi, pi / 2, -pi / 2, 0.8 * pi], mirrored=mirrored
    )
    wanted = [*(_ends(layout, one, edges[:1], mirrored) for one in exits if _named(layout, one)), side]
    found: list[Shape] = []
    for places in wanted:
        clear = free.difference(unary_union([*taken, *found]).buffer(MARGIN))
        place = first_fit(places, clear)
        found.extend([place] if place else [])
    return found


def _edges(plate: Shape) -> list[tuple[float, int]]:
    """Rim and bore for words to lie against, m."""
    return [(-plate.bounds[0], -1), (plate.distance(Point(0, 0)), 1)]


def _named(layout: Layout, one: WireExit) -> bool:
    """Whether a hole is at an end of a phase, or of the one bundle that is made at a time."""
    return one.coil.last if one.finish else one.coil.first


def _ends(
    layout: Layout, one: WireExit, edges: Sequence[tuple[float, int]], mirrored: bool
) -> Iterator[Shape]:
    """Places for START or FINISH beside a hole, away from the coil's other hole."""
    word = "FINISH" if one.finish else "START"
    if not layout.stacked:
        word = layout.order.terminal(one.coil.phase, word)
    beside = [one.angle + radians(one.away * degrees) for degrees in range(3, 46)]
    return ring_texts(word, edges, beside, mirrored, END_HEIGHT)


def _bundles(layout: Layout, side: int) -> list[Shape]:
    """What the coils cover."""
    bundle = bundle_polygon(layout)
    return [
        rotate(bundle, coil.angle, origin=(0, 0), use_radians=True) for coil in layout.order.around(side)
    ]


def _loops(layout: Layout, side: int) -> list[tuple[float, int]]:
    """Polar angle of the axis of each loop of a serpentine, rad, and its sense."""
    return [(angle, 1 - 2 * side) for angle in sector_axes(layout.carrier.count)[::2]]


def _core_tops(
    layout: Layout, cores: Sequence[Polygon], side: int
) -> tuple[list[Shape], list[tuple[float, int]]]:
    """Name and arrow on the top of each core, and the coils whose cores are too small for an arrow."""
    marks: list[Shape] = []
    bare: list[tuple[float, int]] = []
    for core, coil in zip(cores, layout.order.around(side), strict=True):
        angle, sense = coil.angle, coil.sense
        clearance = maximum_inscribed_circle(core, tolerance=1e-5)
        center, radius = complex(*clearance.coords[0]), min(clearance.length - MARGIN, 7e-3)
        if radius < LEAST_RING:
            bare.append((angle, sense))
            sizes = LETTER_HEIGHTS
        else:
            marks.append(_ring_arrow(center, radius, angle, sense))
            sizes = [height for height in LETTER_HEIGHTS if height < radius]
        inside = core.buffer(-MARGIN).difference(unary_union(marks).buffer(MARGIN))
        texts = (straight_text(_label(coil.name), height, center, angle - pi / 2) for height in sizes)
        found = first_fit(texts, inside)
        marks.extend([found] if found else [])
    return marks, bare


def _ring_arrow(center: complex, radius: float, angle: float, sense: int) -> Shape:
    """Three quarters of a ring about `center`, clockwise for the sense +1, open toward the shaft."""
    head = min(1.8e-3, 0.4 * radius)
    ring = shaft_path(radius - head / 2 - 0.25e-3, angle + sense * 0.7 * pi, -sense * 1.4 * pi, center)
    return arrow(ring, 0.0, ring.length, head)


def _arrow(layout: Layout, free: Shape, angle: float, sense: int) -> list[Shape]:
    """An arrow in the plate for one coil or loop: inside its outer arc, else under its turns."""
    candidates = (
        rotate(scale(shape, 1, sense, origin=(0, 0)), angle, origin=(0, 0), use_radians=True)
        for shape in _clockwise_arrows(layout)
    )
    found = first_fit(candidates, free)
    return [found] if found else []


def _clockwise_arrows(layout: Layout) -> Iterator[Shape]:
    winding = layout.winding
    if not layout.topology.concentrated:
        radius = winding.outer_radius - winding.width - (HEAD + stroke_width(HEAD)) / 2 - 1.2 * MARGIN
        for length in (12e-3, 9e-3, 7e-3, 5e-3):
            path = shaft_path(radius, length / 2 / radius, -length / radius)
            yield arrow(path, 0.0, path.length, HEAD)
    points = polyline(layout.topology.turn(layout.envelope, 0.0), step=2e-4, sagitta=1e-6)
    path = LineString([(z.real, z.imag) for z in (*points, points[0])])
    axis = path.project(Point(winding.outer_radius - winding.width / 2, 0))
    for head in (HEAD, 1.2e-3):
        for length in (9e-3, 7e-3, 5e-3, 3.5e-3):
            for start in (axis + 1.5e-3, axis + 2.5e-3):
                if start + length < path.length:
                    yield arrow(path, start, start + length, head)


def _back_numbers(layout: Layout, free: Shape, side: int) -> list[Shape]:
    """The name of each coil, all of one size, behind its middle."""
    middle = (layout.winding.inner_radius + layout.winding.outer_radius) / 2
    for height in LETTER_HEIGHTS:
        marks = [
            straight_text(
                _label(coil.name), height, rect(middle, coil.angle), coil.angle - pi / 2, mirrored=True
            )
            for coil in layout.order.around(side)
        ]
        if all(free.contains(mark) for mark in marks):
            return marks
    return []


def _label(name: str) -> str:
    return f"{name}." if name in ("6", "9") else name  # told apart whichever way up
