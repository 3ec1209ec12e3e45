"""The PDF writer: a template at full size, tiled over paper. Vector, fonts embedded, no scaling when printed.

The only file that knows reportlab. The same drawing gives the same bytes.
"""

# pyright: reportUnknownMemberType=false
# reportlab has no types

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from math import ceil, cos, pi, sin, tan
from pathlib import Path as File

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from geometry.curves.curve import Arc, Stretch
from geometry.drawing.primitives import (
    Anchor,
    Circle,
    Drawing,
    Layer,
    Path,
    Primitive,
    Text,
    arc_numbers,
    drawing_bounds,
    point,
    printable,
)
from geometry.writers.paper import Page, Paper, View, paper_named
from geometry.writers.sheets import template_pages

POINT = 72 / 0.0254  # PDF units in a metre
FONT = "DejaVuSans"
CAPITAL_HEIGHT = 0.729  # of the font size, in DejaVu Sans
LONGEST_ARC = pi / 4  # rad; a Bézier curve over it leaves its arc by 4e-6 of the radius
BEYOND = 20e-3  # m, kept around the drawing's estimated bounds, for a form is clipped to its own
LEAST_WEIGHT = 0.6  # of line widths and dashes in a reduced view


def pdf_bytes(drawing: Drawing, paper: str = "A4", *, title: str) -> bytes:
    """The drawing as a template to print: an overview, then sheets at full size.

    paper: "A4" or "Letter"; ValueError for any other. title: heads every page.
    """
    size = paper_named(paper)
    return pages_bytes(template_pages(drawing, size, title), size, title=title)


def pages_bytes(pages: Sequence[Page], paper: Paper, *, title: str) -> bytes:
    """Pages as a PDF file. Viewers are told not to scale it when it is printed."""
    _register_font()
    stream = io.BytesIO()
    size = (paper.width * POINT, paper.height * POINT)
    canvas = Canvas(
        stream,
        pagesize=size,
        invariant=1,
        pageCompression=1,
        initialFontName=FONT,  # pyright: ignore[reportArgumentType]
        lang="en",
    )
    canvas.setTitle(printable(title))
    canvas.setCreator("polepitch")
    canvas.setAuthor("")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        _draw_page(canvas, page)
    canvas.save()
    return stream.getvalue()


@cache
def _register_font() -> None:
    """DejaVu Sans, which matplotlib brings along: free to embed, with ⌀, Ω, arrows and scissors."""
    from matplotlib import get_data_path

    pdfmetrics.registerFont(TTFont(FONT, str(File(get_data_path(), "fonts", "ttf", f"{FONT}.ttf"))))


def _draw_page(canvas: Canvas, page: Page) -> None:
    canvas.bookmarkPage(page.name)
    canvas.addOutlineEntry(page.name, page.name)
    for view in page.views:
        _draw_view(canvas, view)
    for layer in page.layers:
        _draw_layer(canvas, layer, 1.0)
    canvas.showPage()


def _draw_view(canvas: Canvas, view: View) -> None:
    """Full-size views share one form, so that many sheets cost little more than one."""
    form = "full_size"
    if view.scale == 1.0 and not canvas.hasForm(form):
        _define_form(canvas, form, view.layers)
    canvas.saveState()
    window = canvas.beginPath()
    size = view.high - view.low
    window.rect(*_points(view.low), *_points(size))
    canvas.clipPath(window, stroke=0, fill=0)
    canvas.translate(*_points(view.shift))
    if view.scale == 1.0:
        canvas.doForm(form)
    else:
        for layer in view.layers:
            _draw_layer(canvas, layer, view.scale)
    canvas.restoreState()


def _define_form(canvas: Canvas, name: str, layers: tuple[Layer, ...]) -> None:
    low, high = drawing_bounds(Drawing(title="", layers=layers))
    beyond = BEYOND * (1 + 1j)
    canvas.beginForm(name, *(round(value) for z in (low - beyond, high + beyond) for value in _points(z)))
    for layer in layers:
        _draw_layer(canvas, layer, 1.0)
    canvas.endForm()


def _draw_layer(canvas: Canvas, layer: Layer, scale: float) -> None:
    weight = max(scale, LEAST_WEIGHT) * POINT
    red, green, blue = (value / 255 for value in layer.color)
    canvas.saveState()
    canvas.setStrokeColorRGB(red, green, blue)
    canvas.setFillColorRGB(red, green, blue)
    canvas.setLineWidth(layer.width * weight)
    canvas.setLineJoin(1)
    canvas.setDash([length * weight for length in layer.line.value])
    for primitive in layer.primitives:
        _draw(canvas, primitive, scale)
    canvas.restoreState()


def _draw(canvas: Canvas, primitive: Primitive, scale: float) -> None:
    if isinstance(primitive, Text):
        _draw_text(canvas, primitive, scale)
        return
    path = canvas.beginPath()
    if isinstance(primitive, Circle):
        primitive = Path((Arc(primitive.center, primitive.radius, 0.0, 2 * pi),), closed=True)
    path.moveTo(*_points(scale * point(primitive.curve[0].at(0))))
    for stretch in primitive.curve:
        _add(path, stretch, scale)
    if primitive.closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=0)


def _draw_text(canvas: Canvas, text: Text, scale: float) -> None:
    canvas.setFont(FONT, scale * text.height / CAPITAL_HEIGHT * POINT)
    draw = {
        Anchor.START: canvas.drawString,
        Anchor.MIDDLE: canvas.drawCentredString,
        Anchor.END: canvas.drawRightString,
    }[text.anchor]
    draw(*_points(scale * text.position), text.text)


def _add(path: PDFPathObject, stretch: Stretch, scale: float) -> None:
    if not isinstance(stretch, Arc):
        path.lineTo(*_points(scale * point(stretch.at(1))))
        return
    center, radius, start, sweep = arc_numbers(stretch)
    pieces = max(ceil(abs(sweep) / LONGEST_ARC - 1e-9), 1)
    step = sweep / pieces
    reach = 4 / 3 * tan(step / 4)  # of the radius: length of the tangents to the control points
    for piece in range(pieces):
        first, last = (start + step * (piece + end) for end in (0, 1))
        begin, finish = complex(cos(first), sin(first)), complex(cos(last), sin(last))
        corners = (begin * (1 + 1j * reach), finish * (1 - 1j * reach), finish)
        path.curveTo(*(value for z in corners for value in _points(scale * (center + radius * z))))


def _points(z: complex) -> tuple[float, float]:
    """Metres as PDF units."""
    return (z.real * POINT, z.imag * POINT)
