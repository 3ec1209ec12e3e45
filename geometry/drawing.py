"""The drawing of a layout at full size, from which every template is written.

Within a layer no line is drawn twice and every outline is closed, so a layer can be cut as it is. Coils that
touch share an edge, so those that are connected in reverse have a layer of their own.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi
from textwrap import wrap

from geometry.connections import Tracks, connections, finish_angle
from geometry.curve import Curve, Line, reversed_curve, rotated_curve
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.pegs import peg_outlines, pegs
from geometry.primitives import (
    SHORTEST,
    Anchor,
    Circle,
    Drawing,
    Layer,
    LineStyle,
    Primitive,
    Text,
    drawing_bounds,
    outlines,
    point,
    segment,
)
from geometry.symbols import arrowhead, check_line, cross, north_mark, south_mark
from geometry.topology import sector_axes

__all__ = ["Drawing", "draw_layout", "drawing_bounds"]

NARROWEST_CAPTION = 0.11  # m; captions wrap at this width or at the disc's
SCALE_NOTE = "Units: millimetres. Scale 1:1; the check line must measure 50 mm"
LETTER_ADVANCE = 0.75  # of a text's height: mean width of the letters of a running text

GRAY, BLACK, GREEN, DARK_GREEN = (110, 110, 110), (0, 0, 0), (0, 100, 70), (0, 70, 50)
VERMILION, BLUE, VIOLET = (176, 58, 0), (0, 84, 166), (112, 48, 140)

# name: description, colour, line style, line width in m; the lowest first
STYLES: dict[str, tuple[str, tuple[int, int, int], LineStyle, float]] = {
    "PITCH_CIRCLE": ("circle through the magnets' centres", GRAY, LineStyle.CHAIN, 0.13e-3),
    "CENTER_MARKS": ("centres of shaft, magnets and pegs", GRAY, LineStyle.SOLID, 0.13e-3),
    "CARRIER_OUTLINE": ("rim and bore of the magnet carrier", BLACK, LineStyle.SOLID, 0.5e-3),
    "POCKETS_NORTH": ("magnets with north toward the coil", VERMILION, LineStyle.SOLID, 0.35e-3),
    "POCKETS_SOUTH": ("magnets with south toward the coil", BLUE, LineStyle.DASHED, 0.35e-3),
    "PEGS": ("pegs or cores of the winding former", VIOLET, LineStyle.SOLID, 0.25e-3),
    "COIL_OUTLINE": ("edges of the wound bundle", GREEN, LineStyle.SOLID, 0.25e-3),
    "COIL_OUTLINE_REVERSED": ("edges of coils connected in reverse", GREEN, LineStyle.SOLID, 0.25e-3),
    "TURN_PATH": ("middle turn of each coil", GREEN, LineStyle.DOTTED, 0.18e-3),
    "DIRECTION": ("the way voltages add, and each start", DARK_GREEN, LineStyle.SOLID, 0.35e-3),
    "NUMBERS": ("legs, or coils in series order", DARK_GREEN, LineStyle.SOLID, 0.18e-3),
    "CONNECTIONS": ("from each finish to the next start", DARK_GREEN, LineStyle.SOLID, 0.25e-3),
    "POLES_NORTH": ("north toward the coil: N and a plus in a square", VERMILION, LineStyle.SOLID, 0.25e-3),
    "POLES_SOUTH": ("south toward the coil: S and a minus in a ring", BLUE, LineStyle.SOLID, 0.25e-3),
    "CHECK_LINE": ("must measure 50 mm when printed", BLACK, LineStyle.SOLID, 0.25e-3),
    "CAPTION": ("title and notes", BLACK, LineStyle.SOLID, 0.18e-3),
}


@dataclass(frozen=True, slots=True)
class _Coil:
    """A coil's axis as a unit vector, and its middle turn from the start, the way its voltage adds."""

    axis: complex
    turn: Curve


def draw_layout(layout: Layout) -> Drawing:
    """The machine seen from the coil: carrier, magnets, coils, former and notes, each on its layer."""
    content: dict[str, Sequence[Primitive]] = {
        "PITCH_CIRCLE": [Circle(0j, layout.carrier.pitch_radius)],
        "CENTER_MARKS": _center_marks(layout),
        "CARRIER_OUTLINE": [Circle(0j, layout.space.outer_radius), Circle(0j, layout.space.bore_radius)],
        "POCKETS_NORTH": _pockets(layout, 0),
        "POCKETS_SOUTH": _pockets(layout, 1),
        "POLES_NORTH": _pole_marks(layout, 0),
        "POLES_SOUTH": _pole_marks(layout, 1),
        "PEGS": peg_outlines(layout),
        "COIL_OUTLINE": _edges(layout, +1),
        "COIL_OUTLINE_REVERSED": _edges(layout, -1),
        "TURN_PATH": outlines(coil.turn for coil in _coils(layout)),
        "DIRECTION": [*_arrows(layout), *_starts(layout)],
        "NUMBERS": _numbers(layout),
        "CONNECTIONS": [*connections(layout, _tracks(layout)), _finish(layout)],
        **_notes(layout),
    }
    layers = tuple(
        Layer(
            name=name, description=text, color=color, line=line, width=width, primitives=tuple(content[name])
        )
        for name, (text, color, line, width) in STYLES.items()
    )
    return Drawing(title=_printable(layout.title), layers=layers)


def _coils(layout: Layout) -> list[_Coil]:
    turn = layout.topology.turn(layout.envelope, 0.0)
    half = len(layout.topology.half_turn(layout.envelope, 0.0))
    coils: list[_Coil] = []
    for angle, sense in coil_senses(layout):
        placed = rotated_curve(turn, angle)
        directed = placed if sense > 0 else reversed_curve(placed)
        coils.append(_Coil(cmath.rect(1, angle), directed[half:] + directed[:half]))
    return coils


def _magnet_axes(layout: Layout, polarity: int) -> list[complex]:
    """Unit vectors to the magnets that show north (0) or south (1)."""
    return [cmath.rect(1, angle) for angle in sector_axes(layout.carrier.count)[polarity::2]]


def _pockets(layout: Layout, polarity: int) -> list[Primitive]:
    carrier = layout.carrier
    return [
        Circle(carrier.pitch_radius * axis, carrier.magnet.diameter / 2)
        for axis in _magnet_axes(layout, polarity)
    ]


def _pole_marks(layout: Layout, polarity: int) -> list[Primitive]:
    carrier, (letter_radius, sign_radius) = layout.carrier, _mark_radii(layout)
    diameter, mark = carrier.magnet.diameter, (north_mark, south_mark)[polarity]
    height = 0.26 * diameter
    marks: list[Primitive] = []
    for axis in _magnet_axes(layout, polarity):
        letter = letter_radius * axis
        marks.append(Text("NS"[polarity], letter - 0.5j * height, height))
        marks.extend(mark(sign_radius * axis, 0.2 * diameter))
    return marks


def _mark_radii(layout: Layout) -> tuple[float, float]:
    """Where letters and signs stand, m: on either side of the pitch circle, which then crosses neither.

    Where pegs would hide them, inside the winding, if there is room.
    """
    carrier, diameter = layout.carrier, layout.carrier.magnet.diameter
    usual = (carrier.pitch_radius - 0.24 * diameter, carrier.pitch_radius + 0.24 * diameter)
    spots = [radius * axis for radius in usual for axis in (1, cmath.rect(1, 2 * pi / carrier.count))]
    reach = 0.13 * diameter
    crowded = any(abs(abs(z - spot) - radius) < reach for z, radius in pegs(layout) for spot in spots)
    edge = min(carrier.pitch_radius - diameter / 2, layout.winding.inner_radius)
    letter, sign = edge - 0.25 * diameter, edge - 0.6 * diameter
    fits = sign - 0.2 * diameter > max(layout.space.bore_radius, carrier.count * 0.08 * diameter)
    return (letter, sign) if crowded and fits else usual


def _edges(layout: Layout, sense: int) -> list[Primitive]:
    """Outer and inner edge of the bundle of every coil of that sense."""
    half = layout.winding.width / 2
    turns = [layout.topology.turn(layout.envelope, side) for side in (half, -half)]
    angles = [angle for angle, its_sense in coil_senses(layout) if its_sense == sense]
    return [*outlines(rotated_curve(turn, angle) for angle in angles for turn in turns)]


def _center_marks(layout: Layout) -> list[Primitive]:
    """A cross at the shaft, a tick across the pitch circle at each magnet, a slanting cross in each peg."""
    carrier, tick = layout.carrier, 0.06 * layout.carrier.magnet.diameter
    axes = [*_magnet_axes(layout, 0), *_magnet_axes(layout, 1)]
    marks = cross(0j, min(5e-3, 0.5 * layout.space.bore_radius))
    marks.extend(segment((carrier.pitch_radius - tick) * z, (carrier.pitch_radius + tick) * z) for z in axes)
    for center, radius in pegs(layout):
        if all(abs(center - carrier.pitch_radius * z) > tick for z in axes):
            slant = center / abs(center) * cmath.rect(1, pi / 4)
            marks.extend(cross(center, min(0.4 * radius, 1e-3), slant))
    return [*marks]


def _arrows(layout: Layout) -> Iterator[Primitive]:
    """An arrowhead in the middle of each leg, or of each half of a coil without legs."""
    size = min(0.7 * layout.winding.width, 4e-3)
    for coil in _coils(layout):
        for stretch in _legs(coil.turn) or coil.turn:
            along = point(stretch.tangent(0.5))
            yield arrowhead(point(stretch.at(0.5)), along / abs(along), size)


def _legs(turn: Curve) -> list[Line]:
    return [stretch for stretch in turn if isinstance(stretch, Line) and float(stretch.length) > SHORTEST]


def _starts(layout: Layout) -> Iterator[Primitive]:
    """A line across the bundle where each coil's winding starts, led out to its label beyond the rim."""
    coils = _coils(layout)
    for number, coil in enumerate(coils, start=1):
        inside = point(coil.turn[0].at(0)) - layout.winding.width / 2 * coil.axis
        yield segment(inside, _tracks(layout).lead_end(number) * coil.axis)
        if number == 1:
            yield _outside(layout, coil.axis, "START" if len(coils) == 1 else "1 START")


def _finish(layout: Layout) -> Text:
    return _outside(layout, cmath.rect(1, finish_angle(layout)), "FINISH")


def _tracks(layout: Layout) -> Tracks:
    """Connections run between the rim and the labels."""
    labels = _label_radius(layout)
    return Tracks(crossing=labels - 1.2 * _text_height(layout), plain=labels)


def _numbers(layout: Layout) -> list[Primitive]:
    coils = _coils(layout)
    if len(coils) > 1:
        return [_outside(layout, coil.axis, str(n)) for n, coil in enumerate(coils, start=1) if n > 1]
    middles = [point(leg.at(0.5)) for leg in _legs(coils[0].turn)]
    return [_outside(layout, z / abs(z), str(number)) for number, z in enumerate(middles, start=1)]


def _text_height(layout: Layout) -> float:
    return min(max(layout.space.outer_radius / 20, 2.5e-3), 6e-3)


def _label_radius(layout: Layout) -> float:
    """Where the leads to the labels end, m."""
    outermost = max(layout.space.outer_radius, layout.winding.outer_radius)
    return outermost + 1.9 * _text_height(layout)


def _outside(layout: Layout, axis: complex, text: str) -> Text:
    """A label beyond the rim, as high as its sector has room for."""
    gap = 0.5 * _text_height(layout)
    radius = _label_radius(layout) + gap
    height = min(_text_height(layout), (1.25 if layout.coils == 1 else 2.5) * radius / layout.carrier.count)
    if abs(axis.real) > 0.5:
        anchor = Anchor.START if axis.real > 0 else Anchor.END
        middle = radius * axis
    else:
        anchor, middle = Anchor.MIDDLE, (radius + 0.5 * height) * axis
    return Text(text, middle - 0.5j * height, height, anchor)


def _notes(layout: Layout) -> dict[str, list[Primitive]]:
    """Check line and captions, below the disc."""
    height = _text_height(layout)
    y = -_label_radius(layout) - 5 * height
    check = check_line(complex(0, y), height)
    check.append(Text(SCALE_NOTE, complex(0, y - 2.2 * height), 0.8 * height))
    captions: list[Primitive] = []
    y -= 2.5 * height
    for text, size in _captions(layout, height):
        y -= 1.8 * size
        captions.append(Text(text, complex(0, y), size))
    return {"CHECK_LINE": check, "CAPTION": captions}


def _captions(layout: Layout, height: float) -> Iterator[tuple[str, float]]:
    """The lines of title and notes with their heights."""
    width = max(NARROWEST_CAPTION, 2 * layout.space.outer_radius)
    notes = [(text, 0.8 * height) for text in _sentences(layout)]
    for text, size in [(_printable(layout.title), 1.3 * height), *notes]:
        for line in wrap(text, int(width / (LETTER_ADVANCE * size))):
            yield line, size


def _sentences(layout: Layout) -> Iterator[str]:
    winding, carrier, single = layout.winding, layout.carrier, layout.coils == 1
    magnet, posts = carrier.magnet, pegs(layout)
    coils = "1 coil" if single else f"{layout.coils} coils"
    yield (
        f"{winding.topology.capitalize()} winding, {coils} of {winding.turns} turns, "
        f"wire {winding.wire.diameter_mm:g} mm"
    )
    yield (
        f"{carrier.count} magnets, discs {_mm(magnet.diameter)} × {_mm(magnet.thickness)} mm, "
        f"on a pitch circle of {_mm(2 * carrier.pitch_radius)} mm diameter"
    )
    yield "Magnets seen from the coil side; N/S is the face toward the coil"
    yield "Arrows: the way the voltages add. Line across the bundle: start"
    if single:
        yield "Wound round and round from START to FINISH; nothing crosses"
    else:
        yield "Outer lines: finish to next start; a bow crosses without contact"
    numbers = "legs along the turn" if single else "coils in series order"
    kind = "Pegs" if layout.topology.corners else "Cores"
    yield f"Numbers: {numbers}" + (f". {kind}: {_mm(2 * posts[0][1])} mm diameter" if posts else "")


def _mm(length: float) -> str:
    return f"{length * 1e3:.6g}"


def _printable(text: str) -> str:
    """One line, without characters that cannot be drawn."""
    return "".join(letter for letter in " ".join(text.split()) if letter.isprintable())
