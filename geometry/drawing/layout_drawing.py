"""The drawing of a layout at full size, from which every template is written, and that of its steel plate to cut.

Within a layer no line is drawn twice and every outline is closed, so a layer can be cut as it is, and so can the layers
of one part together. Lines of different things may coincide: a core's edge is the inner edge of the coil around it.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from math import pi
from textwrap import wrap

from geometry.coils.topology import sector_axes
from geometry.curves.curve import rotated_curve
from geometry.drawing.coil_drawing import (
    DARK_GREEN,
    coil_content,
    coil_sentences,
    coil_styles,
    drawn_radius,
    former_outlines,
    text_height,
)
from geometry.drawing.pole_marks import mark_places, pole_marks
from geometry.drawing.primitives import (
    Circle,
    Drawing,
    LineStyle,
    Primitive,
    Style,
    Text,
    check_line,
    cross,
    outlines,
    printable,
    segment,
    styled_layer,
)
from geometry.machine.layout import Layout
from geometry.stock.magnet import mm_text
from geometry.stock.wire_words import wire_size

NARROWEST_CAPTION = 0.11  # m; captions wrap at this width or at the disc's
SCALE_NOTE = "Units: millimetres. Scale 1:1; the check line must measure 50 mm"
CUTTING = (
    "To cut, one set of layers at a time: CARRIER_OUTLINE with POCKETS_NORTH and POCKETS_SOUTH, or FORMER",
    "Other layers are for reference; some of their lines lie on these",
)
LETTER_ADVANCE = 0.75  # of a text's height: mean width of the letters of a running text

GRAY, BLACK = (110, 110, 110), (0, 0, 0)
VERMILION, BLUE, VIOLET = (176, 58, 0), (0, 84, 166), (112, 48, 140)

# the layers below and above those of the coils' lines, the lowest first
BELOW: dict[str, Style] = {
    "PITCH_CIRCLE": ("circle through the magnets' centres", GRAY, LineStyle.CHAIN, 0.13e-3),
    "CENTER_MARKS": ("centres of shaft, magnets and cores", GRAY, LineStyle.SOLID, 0.13e-3),
    "CARRIER_OUTLINE": ("rim and bore of the magnet carrier, to cut", BLACK, LineStyle.SOLID, 0.5e-3),
    "POCKETS_NORTH": ("magnets with north toward the coil, to cut", VERMILION, LineStyle.SOLID, 0.35e-3),
    "POCKETS_SOUTH": ("magnets with south toward the coil, to cut", BLUE, LineStyle.DASHED, 0.35e-3),
    "FORMER": ("cores or islands of the winding former, to cut", VIOLET, LineStyle.SOLID, 0.25e-3),
}
ABOVE: dict[str, Style] = {
    "DIRECTION": ("the way voltages add, and each start", DARK_GREEN, LineStyle.SOLID, 0.35e-3),
    "NUMBERS": ("legs, layers of phases, or coils in series order", DARK_GREEN, LineStyle.SOLID, 0.18e-3),
    "CONNECTIONS": ("from each finish to the next start", DARK_GREEN, LineStyle.SOLID, 0.25e-3),
    "POLES_NORTH": ("north toward the coil: N and a plus in a square", VERMILION, LineStyle.SOLID, 0.25e-3),
    "POLES_SOUTH": ("south toward the coil: S and a minus in a ring", BLUE, LineStyle.SOLID, 0.25e-3),
    "CHECK_LINE": ("must measure 50 mm when printed", BLACK, LineStyle.SOLID, 0.25e-3),
    "CAPTION": ("title and notes", BLACK, LineStyle.SOLID, 0.18e-3),
}


def draw_layout(layout: Layout, side: int = 0) -> Drawing:
    """The machine seen from the coil: carrier, magnets, coils, former and notes, each on its layer.

    side: 1 for the coil behind a carrier that has one on each side, seen from there: all is mirrored, poles change.
    """
    content: dict[str, Sequence[Primitive]] = {
        "PITCH_CIRCLE": [Circle(0j, layout.carrier.pitch_radius)],
        "CENTER_MARKS": _center_marks(layout, side),
        "CARRIER_OUTLINE": [Circle(0j, layout.space.outer_radius), Circle(0j, layout.space.bore_radius)],
        "POCKETS_NORTH": _pockets(layout, side),
        "POCKETS_SOUTH": _pockets(layout, 1 - side),
        "FORMER": former_outlines(layout, side),
        **coil_content(layout, side),
        **_notes(layout, side),
    }
    places = mark_places(layout, content)
    content["POLES_NORTH"] = pole_marks(layout, places, side, 0)
    content["POLES_SOUTH"] = pole_marks(layout, places, 1 - side, 1)
    layers = tuple(styled_layer(name, style, content[name]) for name, style in _styles(layout).items())
    return Drawing(title=printable(layout.title), layers=layers)


def _styles(layout: Layout) -> dict[str, Style]:
    """Name and style of each layer, the lowest first; the description of the centres tells of holes, if any."""
    below = dict(BELOW)
    if _holes(layout):
        words, color, line, width = BELOW["CENTER_MARKS"]
        below["CENTER_MARKS"] = (f"{words}; holes of rings", color, line, width)
    return below | coil_styles(layout) | ABOVE


def _holes(layout: Layout) -> list[Primitive]:
    """The magnets' holes, for reference: a pocket is cut without them."""
    carrier = layout.carrier
    hole = carrier.magnet.hole(carrier.pitch_radius)
    return [*outlines(rotated_curve(hole, angle) for angle in sector_axes(carrier.count))] if hole else []


def _magnet_axes(layout: Layout, polarity: int) -> list[complex]:
    """Unit vectors to the magnets that show north (0) or south (1) to the first side."""
    return [cmath.rect(1, angle) for angle in sector_axes(layout.carrier.count)[polarity::2]]


def _pockets(layout: Layout, polarity: int) -> list[Primitive]:
    face = layout.carrier.magnet.outline(layout.carrier.pitch_radius)
    return [*outlines(rotated_curve(face, cmath.phase(axis)) for axis in _magnet_axes(layout, polarity))]


def _center_marks(layout: Layout, side: int) -> list[Primitive]:
    """Crosses at the shaft and, slanting, in round cores; a tick at each magnet's pitch circle, and its hole."""
    carrier, tick = layout.carrier, 0.06 * layout.carrier.magnet.across
    axes = [*_magnet_axes(layout, 0), *_magnet_axes(layout, 1)]
    marks = cross(0j, min(5e-3, 0.5 * layout.space.bore_radius))
    marks.extend(segment((carrier.pitch_radius - tick) * z, (carrier.pitch_radius + tick) * z) for z in axes)
    for core in _round_cores(layout, side):
        if all(abs(core.center - carrier.pitch_radius * z) > tick for z in axes):
            slant = core.center / abs(core.center) * cmath.rect(1, pi / 4)
            marks.extend(cross(core.center, min(0.4 * core.radius, 1e-3), slant))
    return [*marks, *_holes(layout)]


def _round_cores(layout: Layout, side: int) -> list[Circle]:
    return [core for core in former_outlines(layout, side) if isinstance(core, Circle) and core.center]


def _notes(layout: Layout, side: int) -> dict[str, list[Primitive]]:
    """Check line and captions, below the disc."""
    height = text_height(layout)
    y = -drawn_radius(layout) - 5 * height
    check = check_line(complex(0, y), height)
    check.append(Text(SCALE_NOTE, complex(0, y - 2.2 * height), 0.8 * height))
    captions: list[Primitive] = []
    y -= 2.5 * height
    for text, size in _captions(layout, height, side):
        y -= 1.8 * size
        captions.append(Text(text, complex(0, y), size))
    return {"CHECK_LINE": check, "CAPTION": captions}


def _captions(layout: Layout, height: float, side: int) -> Iterator[tuple[str, float]]:
    """The lines of title and notes with their heights."""
    width = max(NARROWEST_CAPTION, 2 * layout.space.outer_radius)
    notes = [(text, 0.8 * height) for text in _sentences(layout, side)]
    for text, size in [(printable(layout.title), 1.3 * height), *notes]:
        for line in wrap(text, int(width / (LETTER_ADVANCE * size))):
            yield line, size


def _sentences(layout: Layout, side: int) -> Iterator[str]:
    winding, carrier, single = layout.winding, layout.carrier, layout.coils == 1
    magnet = carrier.magnet
    coils = "1 coil" if single else f"{layout.coils} coils"
    phases = f" in {layout.phases} phases" if layout.phases > 1 else ""
    yield (
        f"{winding.topology.capitalize()} winding, {coils} of {winding.turns} turns{phases}, "
        f"wire {wire_size(winding.wire)}"
    )
    yield (
        f"{carrier.count} magnets, {magnet.shape}s {magnet.size_label.removeprefix('⌀ ')}, "
        f"on a pitch circle of {mm_text(2 * carrier.pitch_radius)} mm diameter"
    )
    yield "Magnets seen from the coil side; N/S is the face toward the coil"
    yield from arrangement_sentences(layout)
    yield "Arrows: the way the voltages add. Line across the bundle: start"
    if layout.topology.concentrated:
        yield "Outer lines: finish to next start; a bow crosses without contact"
        counted = "coils in series order"
    else:
        yield "A skein laid into the channel between the islands, START to FINISH; nothing crosses"
        counted = "layers from the magnets up" if layout.stacked else "legs along the turn"
    yield from coil_sentences(layout, side)
    cores = _round_cores(layout, side)
    size = f". Cores: {mm_text(2 * cores[0].radius)} mm diameter" if cores else ""
    yield ("Letters: phases, numbers: " if layout.phases > 1 else "Numbers: ") + counted + size
    yield from CUTTING


def arrangement_sentences(layout: Layout) -> Iterator[str]:
    """What the notes say of a second carrier and of steel."""
    if layout.carrier.carriers > 1:
        yield "Two carriers, the coil between: where this one shows N, the other shows S to the coil"
    if layout.carrier.plate:
        each = " of each carrier" if layout.carrier.carriers > 1 else ""
        yield f"Steel plate, {mm_text(layout.carrier.plate)} mm thick, as wide as the carrier, behind the magnets{each}"



PLATE_CAPTION = "Deburr; the magnets stand on it with their backs, the carrier is glued to it"
OUTLINE: Style = ("rim and bore of the steel plate", (0, 0, 0), LineStyle.SOLID, 0.5e-3)


def plate_words(layout: Layout) -> str:
    """Number, size and thickness of the plates."""
    space, count = layout.space, layout.carrier.carriers
    pieces = "2 pieces" if count > 1 else "1 piece"
    sizes = f"{mm_text(space.outer_diameter)} mm outer diameter, {mm_text(space.bore_diameter)} mm bore"
    return f"Mild steel, {mm_text(layout.carrier.plate)} mm thick, {pieces}, {sizes}"


def draw_plate(layout: Layout) -> Drawing | None:
    """Rim and bore at full size with thickness and number of pieces in words; None for a machine without steel."""
    if not layout.carrier.plate:
        return None
    space = layout.space
    height = text_height(layout)
    y = -space.outer_radius - 3 * height
    check: list[Primitive] = [*check_line(complex(0, y), height)]
    check.append(Text(SCALE_NOTE, complex(0, y - 2.2 * height), 0.8 * height))
    captions = [
        Text(text, complex(0, y - (2.5 + 1.6 * (row + 1)) * height), 0.8 * height)
        for row, text in enumerate((plate_words(layout), PLATE_CAPTION))
    ]
    layers = [
        styled_layer("CENTER_MARKS", BELOW["CENTER_MARKS"], cross(0j, min(5e-3, 0.5 * space.bore_radius))),
        styled_layer("PLATE_OUTLINE", OUTLINE, [Circle(0j, space.outer_radius), Circle(0j, space.bore_radius)]),
        styled_layer("CHECK_LINE", ABOVE["CHECK_LINE"], check),
        styled_layer("CAPTION", ABOVE["CAPTION"], captions),
    ]
    return Drawing(title=f"Steel plate: {' '.join(layout.title.split())}", layers=tuple(layers))
