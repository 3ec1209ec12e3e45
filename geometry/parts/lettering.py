"""Letters to engrave: a stroke font of our own, so that every stroke is as wide as a nozzle can draw.

Letters are shapely polygons in metres. The same words give the same points on every computer, since no font
file is read.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from math import cos, pi, sin
from typing import TypeAlias

from shapely import LineString, MultiLineString, prepare, unary_union
from shapely.affinity import rotate, scale, translate
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

Shape: TypeAlias = BaseGeometry  # one polygon or several

LEAST_STROKE = 0.5e-3  # m, what a nozzle of 0.4 mm draws surely
SPACING = 2.2  # grid units between letters

# Strokes on a grid 4 wide and 6 high: a point is two digits, column and row; strokes are parted by |.
STROKES: dict[str, str] = {
    "A": "00 26 40|12 32", "B": "33 44 45 36 06 00 30 41 42 33 03", "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 45 41 20 00", "E": "46 06 00 40|03 33", "F": "46 06 00|03 33",
    "G": "45 36 16 05 01 10 30 41 43 23", "H": "00 06|40 46|03 43", "I": "00 06", "J": "46 41 30 10 01",
    "K": "00 06|46 03 40", "L": "06 00 40", "M": "00 06 23 46 40", "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10", "P": "00 06 36 45 44 33 03", "Q": "10 01 05 16 36 45 41 30 10|22 40",
    "R": "00 06 36 45 44 33 03|23 40", "S": "41 30 10 01|45 36 16 05 04 13 33 42 41", "T": "06 46|26 20",
    "U": "06 01 10 30 41 46", "V": "06 20 46", "W": "06 10 24 30 46", "X": "00 46|06 40", "Y": "06 23 46|23 "
    "20",
    "Z": "06 46 00 40", "0": "10 01 05 16 36 45 41 30 10", "1": "04 26 20", "2": "05 16 36 45 44 00 40",
    "3": "05 16 36 45 44 33 13|33 42 41 30 10 01", "4": "30 36 02 42", "5": "46 06 03 33 42 41 30 10 01",
    "6": "45 36 16 05 01 10 30 41 42 33 03", "7": "06 46 10", "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 "
    "41 42 33",
    "9": "01 10 30 41 45 36 16 05 04 13 43", "-": "03 43", ".": "00 10", " ": "",
}  # fmt: skip


def stroke_width(height: float) -> float:
    """Width in m of the strokes of letters `height` m high."""
    return max(0.15 * height, LEAST_STROKE)


def letters(words: str, height: float) -> list[tuple[float, Shape]]:
    """Each visible letter of `words`, centred on the origin, and how far along the line it stands, m.

    words: capitals A–Z, digits, space, hyphen and full stop; anything else raises ValueError.
    height: overall height of the letters, m.
    """
    stroke = stroke_width(height)
    unit = (height - stroke) / 6
    gap = (SPACING - 1) * unit + stroke
    widths = [_columns(letter) * unit for letter in words]
    left = -(sum(widths) + gap * (len(words) - 1)) / 2
    placed: list[tuple[float, Shape]] = []
    for letter, width in zip(words, widths, strict=True):
        if letter != " ":
            placed.append((left + width / 2, _glyph(letter, unit, stroke)))
        left += width + gap
    return placed


def straight_text(
    words: str, height: float, center: complex = 0, angle: float = 0.0, mirrored: bool = False
) -> Shape:
    """Words in a straight line about `center` (m), turned by `angle` (rad).

    mirrored: for a face that is read from below; the words then read right from there.
    """
    line = unary_union([translate(glyph, along) for along, glyph in letters(words, height)])
    return _placed(line, center, angle, mirrored)


def arc_text(words: str, height: float, radius: float, angle: float, mirrored: bool = False) -> Shape:
    """Words bent about the shaft, tops outward, their middle at `radius` (m) and the polar `angle` (rad)."""
    return _placed(_bent(words, height, radius), 0, angle - pi / 2, mirrored)


@lru_cache(maxsize=128)  # the same words are tried at many angles
def _bent(words: str, height: float, radius: float) -> Shape:
    """Words about the shaft, their middle at `radius` (m) above it."""
    glyphs = [
        rotate(translate(glyph, 0, radius), -along / radius, origin=(0, 0), use_radians=True)
        for along, glyph in letters(words, height)
    ]
    return unary_union(glyphs)


def arrow(path: LineString, start: float, end: float, height: float) -> Shape:
    """An arrow along `path` between the distances `start` and `end` (m), its head `height` wide (m)."""
    shaft = substring(path, start, end)
    (x0, y0), (x1, y1) = reversed(list(substring(path, end - height / 2, end).coords)[-2:])
    heading = complex(x0 - x1, y0 - y1)
    heading *= height / 2 / abs(heading)
    tip = complex(x0, y0)
    barbs = [tip + heading * complex(-1, side) for side in (1, -1)]
    head = LineString([(z.real, z.imag) for z in (barbs[0], tip, barbs[1])])
    return unary_union([shaft, head]).buffer(stroke_width(height) / 2, quad_segs=4)


def shaft_path(radius: float, start: float, sweep: float, center: complex = 0) -> LineString:
    """An arc of `radius` m about `center`, from the angle `start` over `sweep` (rad), for an arrow."""
    angles = [start + sweep * step / 48 for step in range(49)]
    return LineString([(center.real + radius * cos(a), center.imag + radius * sin(a)) for a in angles])


def first_fit(candidates: Iterable[Shape], free: Shape) -> Shape | None:
    """The first of the candidates that lies wholly in `free`, or None."""
    prepare(free)
    return next((shape for shape in candidates if free.contains(shape)), None)


def _columns(letter: str) -> int:
    if letter not in STROKES:
        raise ValueError(f"text to engrave must be of the letters {''.join(STROKES)!r}, was {letter!r}")
    return max(
        (int(point[0]) for stroke in STROKES[letter].split("|") for point in stroke.split()), default=2
    )


@lru_cache(maxsize=512)
def _glyph(letter: str, unit: float, stroke: float) -> Shape:
    shift = _columns(letter) / 2
    lines = [
        [((int(column) - shift) * unit, (int(row) - 3) * unit) for column, row in points.split()]
        for points in STROKES[letter].split("|")
    ]
    return MultiLineString(lines).buffer(stroke / 2, quad_segs=4)


def _placed(shape: Shape, center: complex, angle: float, mirrored: bool) -> Shape:
    if mirrored:
        shape = scale(shape, -1, 1, origin=(0, 0))
    return translate(rotate(shape, angle, origin=(0, 0), use_radians=True), center.real, center.imag)
