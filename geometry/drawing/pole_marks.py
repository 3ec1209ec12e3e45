"""N and S with their signs: a place at every magnet where no line of the drawing hides them.

On the magnet where nothing crosses them there; else inside the winding, smaller if they must be; and where there is
no room either, at the roomiest spots of the magnet's face.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import asin, pi, sin
from typing import Self

import numpy as np

from geometry.coils.topology import sector_axes
from geometry.curves.curve import Arc, Complex, Line, Real, Stretch, circle
from geometry.drawing.primitives import (
    Circle,
    Path,
    Primitive,
    Text,
    arc_numbers,
    north_mark,
    point,
    polygon,
    south_mark,
    text_box,
)
from geometry.machine.layout import Layout

LETTER, SIGN = 0.26, 0.2  # height of a letter and size of a sign, of the room across a magnet
LEAST, SMALL = (
    1.5e-3,
    2e-3,
)  # m, height of letters that can be read well; what those of small magnets may grow to
INSIDE = 0.7  # size of a sign inside the winding, of its letter's height
ROUND_LETTER, ROUND_SIGN = 0.62, 0.71  # radius of the circle around a letter or sign, of its height or size
APART = 0.1  # of a letter's height, kept between letter and sign
PAD, GAP = 0.05e-3, 0.2e-3  # m, kept from lines, and from the edges of the room inside the winding
SIDELONG = 1.25  # how much larger marks must be side by side than on one ray to be set so
TURNS = "TURN_PATH"
FAINT = ("PITCH_CIRCLE", "CENTER_MARKS", TURNS)  # layers of lines thin enough to read a mark over


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkPlaces:
    """Where the marks of the magnet on the x axis stand; those of the others are turned.

    letter, sign: their middles, complex, m. height: of the letter, m. size: of the sign, m.
    """

    letter: complex
    sign: complex
    height: float
    size: float


def pole_marks(layout: Layout, places: MarkPlaces, first: int, pole: int) -> list[Primitive]:
    """Marks of a pole (0 for north) on every other magnet, from the first or the second (`first` 0 or 1)."""
    mark = (north_mark, south_mark)[pole]
    marks: list[Primitive] = []
    for angle in sector_axes(layout.carrier.count)[first::2]:
        axis = rect(1, angle)
        marks.append(Text("NS"[pole], places.letter * axis - 0.5j * places.height, places.height))
        marks.extend(mark(places.sign * axis, places.size))
    return marks


def mark_places(layout: Layout, content: Mapping[str, Iterable[Primitive]]) -> MarkPlaces:
    """Where the marks stand among the lines of the other layers, which go by their names."""
    bold = Lines.of(
        shape for name, shapes in content.items() if not name.startswith(FAINT) for shape in shapes
    )
    turns = Lines.of(shape for name, shapes in content.items() if name.startswith(TURNS) for shape in shapes)
    usual, inside = _usual(layout), _inside(layout)
    if _free(layout, usual, bold) and _free(layout, usual, turns):
        return usual
    if inside and _free(layout, inside, bold):
        return inside
    everything = Lines.of(shape for shapes in content.values() for shape in shapes)
    clear = _roomiest(layout, everything)
    return clear if clear.height >= LEAST else _roomiest(layout, bold)


def _free(layout: Layout, places: MarkPlaces, lines: Lines) -> bool:
    """Whether no line touches a mark of any magnet."""
    axes = np.exp(1j * np.array(sector_axes(layout.carrier.count)))
    letters, signs = (lines.clearance(place * axes) for place in (places.letter, places.sign))
    minimum = (ROUND_LETTER * places.height + PAD, ROUND_SIGN * places.size + PAD)
    return bool(letters.min() > minimum[0] and signs.min() > minimum[1])


def _usual(layout: Layout) -> MarkPlaces:
    """On the magnet, on either side of the pitch circle, which then crosses neither."""
    pitch, (across, beside) = layout.carrier.pitch_radius, layout.carrier.magnet.mark_room
    off = max(0.24 * across, beside)
    letter, sign = complex(pitch - off), complex(pitch + off)
    return MarkPlaces(letter=letter, sign=sign, height=LETTER * across, size=SIGN * across)


def _inside(layout: Layout) -> MarkPlaces | None:
    """Between the bore and the winding or the magnets, as large as there is room; None when that is too little."""
    carrier = layout.carrier
    edge = min(float(carrier.magnet.reach(carrier.pitch_radius)[0]), layout.winding.inner_radius) - GAP
    depth, half = edge - layout.space.bore_radius - GAP, sin(pi / carrier.count)
    maximum = max(LETTER * carrier.magnet.across, SMALL)
    letter, sign, apart = ROUND_LETTER, ROUND_SIGN * INSIDE, APART
    pair = 2 * letter + 2 * sign + apart  # on one ray: room along it, of a letter's height
    on_ray = min(maximum, depth / pair, edge * half / (sign + apart / 2 + (pair - sign) * half))
    abreast = min(maximum, depth / (2 * letter), edge * half / (pair / 2 + apart + letter * half))
    height = max(on_ray, abreast)
    if height < LEAST:
        return None
    if abreast <= SIDELONG * on_ray:
        place = edge - letter * on_ray
        below = place - (letter + apart + sign) * on_ray
        return MarkPlaces(letter=complex(place), sign=complex(below), height=on_ray, size=INSIDE * on_ray)
    radius = edge - letter * height
    between = 2 * asin((letter + sign + apart) * height / (2 * radius))
    share = letter / (letter + sign)
    places = rect(radius, (1 - share) * between), rect(radius, -share * between)
    return MarkPlaces(letter=places[0], sign=places[1], height=height, size=INSIDE * height)


def _roomiest(layout: Layout, lines: Lines) -> MarkPlaces:
    """The letter where the magnet's face has the most room, its sign where most is left."""
    carrier, across = layout.carrier, layout.carrier.magnet.mark_room[0]
    spots, maximum = _spots(layout), LETTER * across
    room = np.full(len(spots), np.inf)
    for angle in sector_axes(carrier.count):
        near = lines.turned(rect(1, -angle)).near(complex(carrier.pitch_radius), carrier.magnet.across / 2)
        room = np.minimum(room, near.clearance(spots))
    letter = int(np.argmax(np.round(room, 6)))
    height = float(np.clip((room[letter] - PAD) / ROUND_LETTER, min(LEAST, maximum), maximum))
    left = np.minimum(room, np.abs(spots - spots[letter]) - (ROUND_LETTER + APART) * height)
    sign = int(np.argmax(np.round(left, 6)))
    size = float(np.clip((left[sign] - PAD) / ROUND_SIGN, 0.6 * SIGN * across, SIGN * across))
    return MarkPlaces(letter=complex(spots[letter]), sign=complex(spots[sign]), height=height, size=size)


def _spots(layout: Layout) -> Complex:
    """Places all over the face of the magnet on the x axis, those nearest to its middle first, its hole left out."""
    pitch, magnet = layout.carrier.pitch_radius, layout.carrier.magnet
    minimum = abs(complex(np.asarray(magnet.hole(pitch)[0].at(0))) - pitch) if magnet.hole(pitch) else 0.0
    off = np.linspace(minimum, magnet.across / 2, 16)
    return complex(pitch) + np.concatenate([r * np.exp(2j * pi * np.arange(36) / 36) for r in off])


@dataclass(frozen=True, slots=True)
class Lines:
    """Straight lines, m: starts and ends (S,); arcs, m and rad: centres, radii, middle angles and half sweeps (A,)."""

    starts: Complex
    ends: Complex
    centers: Complex
    radii: Real
    middles: Real
    halves: Real

    @classmethod
    def of(cls, primitives: Iterable[Primitive]) -> Self:
        """Every line that is drawn; a text counts as the edge of the box around it."""
        stretches = [stretch for primitive in primitives for stretch in _stretches(primitive)]
        straight = [line for line in stretches if isinstance(line, Line)]
        arcs = [arc_numbers(arc) for arc in stretches if isinstance(arc, Arc)]
        return cls(
            np.array([point(line.start) for line in straight], complex),
            np.array([point(line.end) for line in straight], complex),
            np.array([center for center, _, _, _ in arcs], complex),
            np.array([radius for _, radius, _, _ in arcs], float),
            np.array([start + sweep / 2 for _, _, start, sweep in arcs], float),
            np.array([abs(sweep) / 2 for _, _, _, sweep in arcs], float),
        )

    def turned(self, turn: complex) -> Lines:
        """Turned about the shaft, `turn` being of length 1."""
        angle = float(np.angle(turn))
        return Lines(
            self.starts * turn,
            self.ends * turn,
            self.centers * turn,
            self.radii,
            self.middles + angle,
            self.halves,
        )

    def near(self, place: complex, reach: float) -> Lines:
        """Those that come nearer to a place than `reach`, m."""
        line, arc = (near[0] < reach for near in self._distances(np.array([place])))
        return Lines(
            self.starts[line],
            self.ends[line],
            self.centers[arc],
            self.radii[arc],
            self.middles[arc],
            self.halves[arc],
        )

    def clearance(self, places: Complex) -> Real:
        """Distance of each place to the nearest line, m, (P,); infinite when there is none."""
        return np.min(np.hstack(self._distances(places)), axis=1, initial=np.inf)

    def _distances(self, places: Complex) -> tuple[Real, Real]:
        """From each place (rows) to each line and to each arc (columns), m."""
        at = np.asarray(places, complex)[:, None]
        along = self.ends - self.starts
        share = ((at - self.starts) * along.conj()).real / np.maximum(np.abs(along) ** 2, 1e-30)
        straight = np.abs(at - self.starts - along * np.clip(share, 0, 1))
        off = at - self.centers
        aside = np.abs((np.angle(off) - self.middles + pi) % (2 * pi) - pi)
        tips = [np.abs(off - self.radii * np.exp(1j * (self.middles + s * self.halves))) for s in (1, -1)]
        round_ = np.where(aside <= self.halves, np.abs(np.abs(off) - self.radii), np.minimum(*tips))
        return straight, round_


def _stretches(primitive: Primitive) -> Iterator[Stretch]:
    if isinstance(primitive, Path):
        yield from primitive.curve
    elif isinstance(primitive, Circle):
        yield from circle(primitive.center, primitive.radius)
    else:
        low, high = text_box(primitive)
        corners = [low, complex(high.real, low.imag), high, complex(low.real, high.imag)]
        yield from polygon(corners).curve
