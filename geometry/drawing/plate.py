"""The steel plate behind the magnets, as a drawing to cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.drawing.coil_drawing import Style
from geometry.drawing.layout_drawing import ABOVE, BELOW, SCALE_NOTE
from geometry.drawing.primitives import Circle, Drawing, Layer, LineStyle, Primitive, Text
from geometry.drawing.symbols import check_line, cross
from geometry.machine.layout import Layout

OUTLINE: Style = ("rim and bore of the steel plate", (0, 0, 0), LineStyle.SOLID, 0.5e-3)


def plate_words(layout: Layout) -> str:
    """Number, size and thickness of the plates."""
    space, count = layout.space, layout.carrier.carriers
    pieces = "2 pieces" if count > 1 else "1 piece"
    sizes = f"{space.outer_diameter * 1e3:.6g} mm outer diameter, {space.bore_diameter * 1e3:.6g} mm bore"
    return f"Mild steel, {layout.carrier.plate * 1e3:.6g} mm thick, {pieces}, {sizes}"


def draw_plate(layout: Layout) -> Drawing | None:
    """Rim and bore at full size with thickness and number of pieces in words; None for a machine without steel."""
    if not layout.carrier.plate:
        return None
    space = layout.space
    height = min(max(space.outer_radius / 20, 2.5e-3), 6e-3)
    y = -space.outer_radius - 3 * height
    check: list[Primitive] = [*check_line(complex(0, y), height)]
    check.append(Text(SCALE_NOTE, complex(0, y - 2.2 * height), 0.8 * height))
    captions = [
        Text(text, complex(0, y - (2.5 + 1.6 * (row + 1)) * height), 0.8 * height)
        for row, text in enumerate(_captions(layout))
    ]
    layers = [
        _layer("CENTER_MARKS", BELOW["CENTER_MARKS"], cross(0j, min(5e-3, 0.5 * space.bore_radius))),
        _layer("PLATE_OUTLINE", OUTLINE, [Circle(0j, space.outer_radius), Circle(0j, space.bore_radius)]),
        _layer("CHECK_LINE", ABOVE["CHECK_LINE"], check),
        _layer("CAPTION", ABOVE["CAPTION"], captions),
    ]
    return Drawing(title=f"Steel plate: {' '.join(layout.title.split())}", layers=tuple(layers))


def _captions(layout: Layout) -> Iterator[str]:
    yield plate_words(layout)
    yield "Deburr; the magnets stand on it with their backs, the carrier is glued to it"


def _layer(name: str, style: Style, primitives: Sequence[Primitive]) -> Layer:
    text, color, line, width = style
    return Layer(
        name=name, description=text, color=color, line=line, width=width, primitives=tuple(primitives)
    )
