"""Cut outlines moved by half the width of the cut, so that parts come out at their size. Arcs stay arcs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import isfinite

from geometry.drawing.layout_drawing import Drawing
from geometry.drawing.offset import TooFar, offset_outline, surrounds
from geometry.drawing.primitives import Circle, Layer, Path, Primitive, Text, point

WIDEST = 5e-3  # m
# layers of outlines that are cut, those of one part together: the pockets are holes in the carrier
PARTS = (("CARRIER_OUTLINE", "POCKETS_NORTH", "POCKETS_SOUTH"), ("FORMER",), ("PLATE_OUTLINE",))
NOTE = "Rim, bore, pockets and former are moved for a kerf of {:.6g} mm"
PLATE_NOTE = "Rim and bore are moved for a kerf of {:.6g} mm"


def with_kerf(drawing: Drawing, kerf: float) -> Drawing:
    """The drawing with outer edges grown and holes shrunk by half the kerf, and a note that says so.

    Only the outlines of carrier, pockets, former and plates are cut; all else, the coils too, is drawn and stays.
    kerf: width of the cut, m, from 0 (nothing changes) to 5 mm. ValueError when it is not, or when an outline
    would vanish.
    """
    if not (isfinite(kerf) and 0 <= kerf <= WIDEST):
        raise ValueError(f"kerf must be from 0 to {WIDEST * 1e3:g} mm, was {kerf * 1e3:g} mm")
    if kerf == 0:
        return drawing
    moved = {layer.name: layer for names in PARTS for layer in _moved(drawing, names, kerf)}
    layers = (moved.get(layer.name, layer) for layer in drawing.layers)
    note = PLATE_NOTE if "PLATE_OUTLINE" in moved else NOTE
    return replace(drawing, layers=tuple(_noted(layer, note.format(kerf * 1e3)) for layer in layers))


def _moved(drawing: Drawing, names: Sequence[str], kerf: float) -> Iterator[Layer]:
    """The layers of one part, each outline moved by how many others are around it: odd for holes."""
    layers = [layer for layer in drawing.layers if layer.name in names]
    closed = [shape for layer in layers for shape in layer.primitives if _is_outline(shape)]
    for layer in layers:
        shapes = tuple(_offset(shape, closed, kerf, layer.name) for shape in layer.primitives)
        yield replace(layer, primitives=shapes)


def _offset(shape: Primitive, closed: Sequence[Primitive], kerf: float, name: str) -> Primitive:
    if isinstance(shape, Text) or not _is_outline(shape):
        return shape
    place = shape.center + shape.radius if isinstance(shape, Circle) else point(shape.curve[0].at(0.5))
    around = sum(
        surrounds(other, place) for other in closed if other is not shape and not isinstance(other, Text)
    )
    try:
        return offset_outline(shape, kerf / 2 if around % 2 == 0 else -kerf / 2)
    except TooFar:
        problem = f"kerf must leave something of each outline in {name}, was {kerf * 1e3:g} mm"
        raise ValueError(problem) from None


def _is_outline(shape: Primitive) -> bool:
    return isinstance(shape, Circle) or (isinstance(shape, Path) and shape.closed)


def _noted(layer: Layer, words: str) -> Layer:
    """The captions with one more line."""
    texts = [text for text in layer.primitives if isinstance(text, Text)]
    if layer.name != "CAPTION" or not texts:
        return layer
    last = texts[-1]
    note = replace(last, text=words, position=last.position - 1.8j * last.height)
    return replace(layer, primitives=(*layer.primitives, note))
