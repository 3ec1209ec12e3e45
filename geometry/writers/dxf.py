"""The DXF writer: R2010 in millimetres, arcs as bulges, the same bytes for the same drawing."""

# pyright: reportUnknownMemberType=false
# ezdxf leaves the types of its attributes and points unknown

from __future__ import annotations

import io
from collections.abc import Generator
from contextlib import contextmanager
from math import tan

from ezdxf import (
    options,  # pyright: ignore[reportPrivateImportUsage]
    units,
)
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from geometry.curves.curve import Arc, Line, Stretch
from geometry.drawing.primitives import (
    Anchor,
    Circle,
    Drawing,
    Layer,
    LineStyle,
    Path,
    Primitive,
    Text,
    arc_numbers,
    drawing_bounds,
    point,
)

VERSION = "R2010"
ALIGNMENTS = {
    Anchor.START: TextEntityAlignment.LEFT,
    Anchor.MIDDLE: TextEntityAlignment.CENTER,
    Anchor.END: TextEntityAlignment.RIGHT,
}
LINE_TYPES = {LineStyle.SOLID: "CONTINUOUS"} | {
    style: f"POLE_{style.name}" for style in LineStyle if style is not LineStyle.SOLID
}


def dxf_bytes(drawing: Drawing) -> bytes:
    """The drawing as a DXF file; times and identifiers are fixed, so equal drawings give equal bytes."""
    with _fixed_metadata():
        document = _document(drawing)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


@contextmanager
def _fixed_metadata() -> Generator[None]:
    """ezdxf writes the time of day and random identifiers unless this option of its own is set."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _document(drawing: Drawing) -> Document:
    document = new(VERSION, units=units.MM)
    document.header["$MEASUREMENT"] = 1  # metric
    for style in LineStyle:
        if style is not LineStyle.SOLID:
            document.linetypes.add(LINE_TYPES[style], _pattern(style), description=style.name.lower())
    space = document.modelspace()
    for layer in drawing.layers:
        _add_layer(document, layer)
        for primitive in layer.primitives:
            _add(space, primitive, layer.name)
    _show_all(document, drawing)
    for name in sorted(document.entitydb.dxf_types_in_use()):  # else listed in the order of a set
        document.classes.add_class(name)
    return document


def _pattern(style: LineStyle) -> list[float]:
    """Total length, then dashes above zero and gaps below, mm."""
    lengths = [1e3 * length for length in style.value]
    return [sum(lengths), *(length * (1, -1)[index % 2] for index, length in enumerate(lengths))]


def _add_layer(document: Document, layer: Layer) -> None:
    added = document.layers.add(
        layer.name, linetype=LINE_TYPES[layer.line], lineweight=round(layer.width * 1e5), color=7
    )
    added.rgb = layer.color
    added.description = layer.description


def _add(space: Modelspace, primitive: Primitive, layer: str) -> None:
    attributes = {"layer": layer}
    if isinstance(primitive, Circle):
        space.add_circle(_mm(primitive.center), primitive.radius * 1e3, dxfattribs=attributes)
    elif isinstance(primitive, Text):
        text = space.add_text(_escaped(primitive.text), height=primitive.height * 1e3, dxfattribs=attributes)
        text.set_placement(_mm(primitive.position), align=ALIGNMENTS[primitive.anchor])
    elif len(primitive.curve) == 1 and isinstance(primitive.curve[0], Line):
        line = primitive.curve[0]
        space.add_line(_mm(point(line.start)), _mm(point(line.end)), dxfattribs=attributes)
    else:
        space.add_lwpolyline(
            _vertices(primitive), format="xyb", close=primitive.closed, dxfattribs=attributes
        )


def _vertices(path: Path) -> list[tuple[float, float, float]]:
    vertices = [(*_mm(point(stretch.at(0))), _bulge(stretch)) for stretch in path.curve]
    return vertices if path.closed else [*vertices, (*_mm(point(path.curve[-1].at(1))), 0.0)]


def _bulge(stretch: Stretch) -> float:
    """Tangent of a quarter of the sweep: how DXF tells an arc from a chord."""
    return tan(arc_numbers(stretch)[3] / 4) if isinstance(stretch, Arc) else 0.0


def _escaped(text: str) -> str:
    """As written by a person: DXF reads a caret and a double percent sign as codes."""
    text = text.replace("^", "^ ")
    return text.replace("%", "%%%") if "%%" in text else text


def _show_all(document: Document, drawing: Drawing) -> None:
    """Extents and first view, so that a viewer opens on the whole drawing."""
    low, high = drawing_bounds(drawing)
    document.modelspace().reset_extents((*_mm(low), 0), (*_mm(high), 0))
    document.set_modelspace_vport(height=1.05e3 * (high - low).imag, center=_mm((low + high) / 2))


def _mm(z: complex) -> tuple[float, float]:
    return (z.real * 1e3, z.imag * 1e3)
