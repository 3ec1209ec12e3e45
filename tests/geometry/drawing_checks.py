"""Layouts to draw, and what is asked of every drawing."""

from itertools import combinations
from math import pi

import pytest
from layouts import lantern_layout

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Arc, Line, circle
from geometry.drawing.primitives import (
    CHARACTER_WIDTH,
    Anchor,
    Circle,
    Drawing,
    Layer,
    Path,
    Text,
)
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet

SMALL_MAGNET = DiscMagnet.of_grade(diameter=0.006, thickness=0.003, grade="N42")


def dense(topology: str) -> Layout:
    """Many poles: narrow legs, cores and islands."""
    inner = {"serpentine": 0.0225, "round": 0.0445}.get(topology, 0.0295)
    bundle = {"inner_radius": inner, "outer_radius": 0.054, "width": 0.002, "turns": 10}
    return lantern_layout(topology, count=24, magnet=SMALL_MAGNET, pitch_radius=0.044, **bundle)


LAYOUTS = [*map(lantern_layout, TOPOLOGIES), *map(dense, TOPOLOGIES)]
IDS = [*TOPOLOGIES, *(f"dense {name}" for name in TOPOLOGIES)]
each_layout = pytest.mark.parametrize("layout", LAYOUTS, ids=IDS)


def stretches(layer: Layer):
    for primitive in layer.primitives:
        if isinstance(primitive, Path):
            yield from primitive.curve
        elif isinstance(primitive, Circle):
            yield from circle(primitive.center, primitive.radius)


def doubled(layers: list[Layer]) -> int:
    """Pairs of stretches that run along the same line or circle for more than a micrometre."""
    return sum(
        run_together(a, b) > 1e-6 for a, b in combinations([s for y in layers for s in stretches(y)], 2)
    )


def run_together(a, b) -> float:
    if isinstance(a, Line) and isinstance(b, Line):
        along = (a.end - a.start) / abs(a.end - a.start)
        ends = [(z - a.start) / along for z in (b.start, b.end)]
        if max(abs(z.imag) for z in ends) > 1e-7:
            return 0.0
        return min(max(z.real for z in ends), abs(a.end - a.start)) - max(min(z.real for z in ends), 0.0)
    if (
        isinstance(a, Arc)
        and isinstance(b, Arc)
        and abs(a.center - b.center) + abs(a.radius - b.radius) < 1e-7
    ):
        return a.radius * common_angle(a, b)
    return 0.0


def common_angle(a: Arc, b: Arc) -> float:
    low, high = sorted((a.start, a.start + a.sweep))
    first = min(b.start, b.start + b.sweep)
    shifted = [first + 2 * pi * turn - 2 * pi * ((first - low) // (2 * pi)) for turn in (-1, 0, 1)]
    return sum(max(0.0, min(high, start + abs(b.sweep)) - max(low, start)) for start in shifted)


def boxes(drawing: Drawing):
    for layer in drawing.layers:
        for text in layer.primitives:
            if isinstance(text, Text):
                width = CHARACTER_WIDTH * text.height * len(text.text)
                left = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[text.anchor] * width
                x, y = text.position.real - left, text.position.imag
                yield x, y, x + width, y + text.height
