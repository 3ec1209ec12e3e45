"""The SVG writer: true millimetres, one titled group per layer, y upwards on paper, texts upright."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, pi
from xml.sax.saxutils import escape

from geometry.curves.curve import Arc, Stretch
from geometry.drawing.primitives import (
    Circle,
    Drawing,
    Layer,
    Path,
    Primitive,
    Text,
    arc_numbers,
    drawing_bounds,
    point,
)

MARGIN = 3e-3  # m, around everything drawn
CAPITAL_HEIGHT = 0.72  # of the font size, in common sans-serif fonts
LONGEST_ARC = 2 * pi / 3  # rad; an SVG arc near a half turn depends on the last digits of its ends


def svg_text(drawing: Drawing) -> str:
    """The drawing as an SVG document of its true size; the same drawing gives the same text."""
    low, high = drawing_bounds(drawing)
    low, high = low - MARGIN * (1 + 1j), high + MARGIN * (1 + 1j)
    width, height = _mm((high - low).real), _mm((high - low).imag)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{width}mm" height="{height}mm" '
        f'viewBox="{_mm(low.real)} {_mm(-high.imag)} {width} {height}" style="background:#fff">',
        f"<title>{escape(drawing.title)}</title>",
        *(line for layer in drawing.layers for line in _group(layer)),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _group(layer: Layer) -> Iterator[str]:
    dashes = " ".join(_mm(length) for length in layer.line.value)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    color = "#{:02x}{:02x}{:02x}".format(*layer.color)
    yield (
        f'<g id="{escape(layer.name)}" fill="none" stroke="{color}" '
        f'stroke-width="{_mm(layer.width)}"{dashed} stroke-linejoin="round">'
    )
    yield f"<title>{escape(layer.name)}: {escape(layer.description)}</title>"
    yield from (_element(primitive, color) for primitive in layer.primitives)
    yield "</g>"


def _element(primitive: Primitive, color: str) -> str:
    if isinstance(primitive, Circle):
        return f'<circle {_xy(primitive.center, "cx", "cy")} r="{_mm(primitive.radius)}"/>'
    if isinstance(primitive, Text):
        size = _mm(primitive.height / CAPITAL_HEIGHT)
        return (
            f'<text {_xy(primitive.position, "x", "y")} font-family="sans-serif" font-size="{size}" '
            f'text-anchor="{primitive.anchor.value}" fill="{color}" stroke="none">'
            f"{escape(primitive.text)}</text>"
        )
    return f'<path d="{path_data(primitive)}"/>'


def path_data(path: Path) -> str:
    """The path in SVG's own words, in mm, y downwards."""
    start = point(path.curve[0].at(0))
    steps = [step for stretch in path.curve for step in _steps(stretch)]
    return " ".join([f"M{_pair(start)}", *steps, *(["Z"] if path.closed else [])])


def _steps(stretch: Stretch) -> Iterator[str]:
    if not isinstance(stretch, Arc):
        yield f"L{_pair(point(stretch.at(1)))}"
        return
    _, radius, _, sweep = arc_numbers(stretch)
    pieces = max(ceil(abs(sweep) / LONGEST_ARC - 1e-9), 1)
    flag = 0 if sweep > 0 else 1  # y points down in SVG
    for piece in range(1, pieces + 1):
        yield f"A{_mm(radius)} {_mm(radius)} 0 0 {flag} {_pair(point(stretch.at(piece / pieces)))}"


def _mm(length: float) -> str:
    """Metres as millimetres to a nanometre, without needless zeros."""
    text = f"{length * 1e3:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _pair(z: complex) -> str:
    return f"{_mm(z.real)} {_mm(-z.imag)}"


def _xy(z: complex, x: str, y: str) -> str:
    return f'{x}="{_mm(z.real)}" {y}="{_mm(-z.imag)}"'
