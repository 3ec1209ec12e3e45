"""The carrier to print, a disc with a blind pocket for each magnet, every pole marked, and the cover glued over it."""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from math import pi

from shapely import get_parts, unary_union

from geometry.coils.topology import sector_axes
from geometry.curves.curve import rotated_curve
from geometry.drawing.primitives import Circle
from geometry.machine.layout import Layout
from geometry.parts.lettering import Shape, first_fit, straight_text
from geometry.parts.meshes import BEYOND, Slab, carved
from geometry.parts.part_words import BACK_TEXT, SIDES, carrier_notes, cover_notes, face_text
from geometry.parts.pockets import (
    PrintOptions,
    annulus_area,
    check_air_gap,
    check_back,
    pocket_area,
    pocket_depth,
    pocket_edge,
    pocket_floor,
    pocket_walls,
)
from geometry.parts.solids import LETTER_HEIGHTS, MARGIN, Part, annulus, disc, region, ring_texts


def carrier_part(layout: Layout, options: PrintOptions | None = None, *, second: bool = False) -> Part:
    """The carrier, lying on its back; its pockets hold the thickest magnet and its glue, none stands proud.

    A letter names the pole that looks out of the face it is engraved in; where the face has no room beside
    the pockets, the letter stands on the floor of the pocket and names the pole that must look up.
    A carrier with a steel plate has no floor: its pockets go through, the magnets stand on the steel.
    second: the carrier that faces the first: it shows S to the coil where the first shows N.
    Raises ValueError when the clearance leaves too little wall, or the floor too little air for a coil behind it.
    """
    options = options or PrintOptions()
    _check_walls(layout, options)
    check_back(layout, options)
    space = layout.space
    floor = pocket_floor(layout, options)
    top = floor + pocket_depth(layout)
    pockets = _pockets(layout, options)
    letters = _face_letters(layout, options, pockets, int(second))
    says = face_text(layout, second=second)
    words = _face_words(layout, says, pockets, letters)
    above = _upper_marks(layout, options, letters, words, int(second))
    below = [Slab(shape, 0, options.letter_depth) for shape in _back_marks(layout, int(second))]
    hole = pocket_area(layout, options.pocket_clearance) * pocket_depth(layout)
    solid = annulus_area(space.bore_radius, space.outer_radius) * top
    return Part(
        name="carrier_second" if second else "carrier",
        mesh=carved(
            [Slab(annulus(space.bore_radius, space.outer_radius), 0, top)],
            above=[*(Slab(pocket, floor if floor else -BEYOND, top) for pocket in pockets), *above],
            below=below,
        ),
        volume=solid - layout.carrier.count * hole - sum(mark.volume for mark in (*above, *below)),
        deep=unary_union(pockets),
        thickness=top,
        notes=carrier_notes(
            layout,
            options,
            beside=bool(letters),
            says=says if words else "",
            second=second,
            depth=pocket_depth(layout),
        ),
    )


def _check_walls(layout: Layout, options: PrintOptions) -> None:
    where, wall = min(pocket_walls(layout, options.pocket_clearance).items(), key=lambda item: item[1])
    if wall < options.min_wall - 1e-9:
        raise ValueError(
            f"pocket_clearance must leave a wall of at least {options.min_wall * 1e3:.3g} mm from pocket "
            f"to {where}, "
            f"but {options.pocket_clearance * 1e3:.3g} mm leaves {wall * 1e3:.3g} mm: take less clearance, "
            "or a layout with more wall"
        )


def _pockets(layout: Layout, options: PrintOptions) -> list[Shape]:
    edge = pocket_edge(layout, options.pocket_clearance)
    axes = sector_axes(layout.carrier.count)
    if isinstance(edge, Circle):
        return [disc(edge.center * rect(1, angle), edge.radius) for angle in axes]
    return [region(rotated_curve(edge.curve, angle)) for angle in axes]


def _letters(layout: Layout, radius: float, height: float, first: int, mirrored: bool = False) -> list[Shape]:
    """A letter at each magnet's angle, tops outward; `first` is 0 for N on the first magnet, 1 for S."""
    return [
        straight_text("NS"[(index + first) % 2], height, rect(radius, angle), angle - pi / 2, mirrored)
        for index, angle in enumerate(sector_axes(layout.carrier.count))
    ]


def _large(layout: Layout) -> float:
    return min(0.5 * layout.carrier.magnet.across, 8e-3)


def _face_letters(layout: Layout, options: PrintOptions, pockets: list[Shape], first: int) -> list[Shape]:
    free = _free(layout, pockets)
    for letters in _letter_rings(layout, options, first):
        apart = unary_union([letter.buffer(MARGIN) for letter in letters])
        if free.contains(unary_union(letters)) and len(get_parts(apart)) == len(letters):
            return letters
    return []


def _letter_rings(layout: Layout, options: PrintOptions, first: int) -> Iterator[list[Shape]]:
    carrier = layout.carrier
    nearest, farthest = (float(edge) for edge in carrier.magnet.reach(carrier.pitch_radius))
    for height in LETTER_HEIGHTS:
        away = options.pocket_clearance / 2 + height / 2 + 1.2 * MARGIN
        for radius in (farthest + away, nearest - away):
            if radius > 0:
                yield _letters(layout, radius, height, first)


def _free(layout: Layout, taken: list[Shape]) -> Shape:
    space = layout.space
    return annulus(space.bore_radius, space.outer_radius).difference(unary_union(taken)).buffer(-MARGIN)


def _face_words(layout: Layout, text: str, pockets: list[Shape], letters: list[Shape]) -> list[Shape]:
    free, space = _free(layout, [*pockets, *letters]), layout.space
    between = [(k + 0.5) * 2 * pi / layout.carrier.count for k in (0, layout.carrier.count // 2)]
    radii = [(space.outer_radius, -1), (space.bore_radius, 1), (layout.carrier.pitch_radius, 0)]
    found = first_fit(ring_texts(text, radii, between), free)
    return [found] if found else []


def _upper_marks(
    layout: Layout, options: PrintOptions, letters: list[Shape], words: list[Shape], first: int
) -> list[Slab]:
    """Letters and words of the face; letters on the pockets' floors when the face has none."""
    depth, floor = options.letter_depth, pocket_floor(layout, options)
    top = floor + pocket_depth(layout)
    if letters:
        return [Slab(shape, top - depth, top) for shape in (*letters, *words)]
    inside = _letters(layout, layout.carrier.pitch_radius, _large(layout), first) if floor else []
    floors = [Slab(shape, floor - depth, floor) for shape in inside]
    return [*floors, *(Slab(shape, top - depth, top) for shape in words)]


def _back_marks(layout: Layout, first: int) -> list[Shape]:
    if layout.carrier.plate:
        return []
    letters = _letters(layout, layout.carrier.pitch_radius, _large(layout), 1 - first, mirrored=True)
    radii = [(layout.space.bore_radius, 1), (layout.space.outer_radius, -1), (layout.carrier.pitch_radius, 0)]
    between = [pi / layout.carrier.count]
    back = SIDES[1] if layout.sides > 1 else BACK_TEXT
    words = first_fit(ring_texts(back, radii, between, mirrored=True), _free(layout, letters))
    return [*letters, words] if words else letters


def cover_part(layout: Layout, options: PrintOptions | None = None) -> Part:
    """The cover, glue side down.

    Raises ValueError when its thickness leaves less than the running clearance of the air gap.
    """
    options = options or PrintOptions()
    left = check_air_gap(layout, options)
    inner, outer = layout.space.bore_radius, layout.space.outer_radius
    depth = min(options.letter_depth, options.cover / 3)
    ring = annulus(inner, outer)
    words_on_it = face_text(layout)
    radii = [((inner + outer) / 2, 0), (outer, -1), (inner, 1)]
    text = first_fit(ring_texts(words_on_it, radii, [pi / 2]), ring.buffer(-MARGIN))
    words = [Slab(text, options.cover - depth, options.cover)] if text else []
    return Part(
        name="cover",
        mesh=carved([Slab(ring, 0, options.cover)], above=words),
        volume=annulus_area(inner, outer) * options.cover - sum(mark.volume for mark in words),
        deep=unary_union([mark.shape for mark in words]),
        thickness=options.cover,
        notes=cover_notes(layout, options, words_on_it, left),
    )
