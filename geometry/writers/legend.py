"""The legend of a drawing, with a sample of each layer beside its description, and its notes as sentences."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil
from textwrap import wrap

from geometry.drawing.primitives import Anchor, Circle, Drawing, Layer, Primitive, Text, segment
from geometry.drawing.symbols import arrowhead, cross, north_mark, south_mark
from geometry.writers.sheet_page import dashed, marks

NOTE_LAYERS = frozenset({"CHECK_LINE", "CAPTION"})  # below the disc; a page has its own
ROW, SAMPLE = 5e-3, 12e-3  # m, height of a row, width of a sample
LETTER = 2e-3  # m, height of capitals
LETTER_ADVANCE = 0.77  # of the height of capitals: mean width of the letters of a running text
SHEETS = "sheets of the template, with their numbers"


def legend_rows(layers: Sequence[Layer]) -> int:
    """Rows of a legend in two columns."""
    return ceil((len(_shown(layers)) + 1) / 2)


def legend_layers(layers: Sequence[Layer], corner: complex, column: float) -> list[Layer]:
    """Layers that draw the legend in two columns `column` m wide, from its upper left corner (m) down."""
    entries = [*_shown(layers), dashed([])]
    rows = legend_rows(layers)
    samples: list[Layer] = []
    texts: list[Primitive] = []
    for index, layer in enumerate(entries):
        place = corner + complex(index // rows * column, -(index % rows + 0.5) * ROW)
        samples.append(replace(layer, primitives=tuple(_sample(layer.name, place))))
        words = SHEETS if index == len(entries) - 1 else layer.description
        start = place + complex(SAMPLE + 3e-3, -LETTER / 2)
        texts.append(Text(words[0].upper() + words[1:], start, LETTER, Anchor.START))
    return [*samples, marks(texts)]


def notes(drawing: Drawing) -> list[str]:
    """The notes below the drawing, its title left out; empty when it has none."""
    captions = [
        text
        for layer in drawing.layers
        if layer.name == "CAPTION"
        for text in layer.primitives
        if isinstance(text, Text)
    ]
    size = min((text.height for text in captions), default=0.0)
    return [text.text for text in captions if text.height <= 1.01 * size]


def wrapped(text: str, height: float, width: float) -> list[str]:
    """Lines that keep within a width, m."""
    return wrap(text, max(int(width / (LETTER_ADVANCE * height)), 10))


def _shown(layers: Sequence[Layer]) -> list[Layer]:
    """Layers that hold something, but one alone of those that look alike."""
    looks: dict[object, Layer] = {}
    for layer in layers:
        sign = layer.name if layer.name in SIGNS else None
        if layer.primitives:
            looks.setdefault((sign, layer.color, layer.line, layer.width), layer)
    return list(looks.values())


def _sample(name: str, left: complex) -> list[Primitive]:
    """What stands for a layer, between `left` (m) and a sample's width to the right of it."""
    sign = SIGNS.get(name)
    return sign(left + SAMPLE / 2) if sign else [segment(left, left + SAMPLE)]


def _letter(letter: str, middle: complex) -> Text:
    return Text(letter, middle - 0.5j * LETTER, LETTER)


# what stands for a layer whose lines alone would not tell; from the middle of the sample, m
SIGNS: dict[str, Callable[[complex], list[Primitive]]] = {
    "POLES_NORTH": lambda z: [_letter("N", z - 2.2e-3), *north_mark(z + 2.2e-3, 2.6e-3)],
    "POLES_SOUTH": lambda z: [_letter("S", z - 2.2e-3), *south_mark(z + 2.2e-3, 2.6e-3)],
    "NUMBERS": lambda z: [_letter("1  2  3", z)],
    "DIRECTION": lambda z: [arrowhead(z - 2e-3, 1, 2.4e-3), segment(z + 3e-3 - 1.6e-3j, z + 3e-3 + 1.6e-3j)],
    "CENTER_MARKS": lambda z: [*cross(z, 1.6e-3)],
    "FORMER": lambda z: [Circle(z, 1.5e-3)],
}
