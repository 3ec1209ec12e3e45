"""The sheets of a paper template at full size, each with its marks, behind an overview."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.drawing.primitives import (
    Anchor,
    Circle,
    Drawing,
    Layer,
    Primitive,
    Text,
    cross,
    drawing_bounds,
    printable,
    segment,
)
from geometry.writers.overview import NOTE_LAYERS, overview_page
from geometry.writers.paper import (
    MARGIN,
    OVERLAP,
    PRINT_NOTE,
    WINDOW_CORNER,
    Page,
    Paper,
    Sheet,
    Tiling,
    View,
    dashed,
    marks,
    text_boxes,
    tiled,
    trimmed,
)

BAR = 0.1  # m, length of the check bars
BAR_LEVEL = (24e-3, 13e-3)  # m, left end of the level check bar; the upright one has x and y exchanged
PAD = 1e-3  # m, kept around the drawing for its line widths
LEANS = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.0, 1.0)  # tried in this order


def template_pages(drawing: Drawing, paper: Paper, title: str) -> list[Page]:
    """Overview and sheets. Notes and check line of the drawing give way to those of the pages."""
    title = printable(title)
    shown = tuple(layer for layer in drawing.layers if layer.name not in NOTE_LAYERS)
    tiling = _tiling(shown, paper)
    sheets = [_sheet_page(shown, tiling, sheet, title) for sheet in tiling.sheets()]
    return [overview_page(drawing, shown, tiling, title), *sheets]


def _tiling(layers: tuple[Layer, ...], paper: Paper) -> Tiling:
    """The fewest sheets, placed so that as few texts as can be lie where the sheets are joined."""
    low, high = drawing_bounds(Drawing(title="", layers=layers))
    low, high = low - PAD * (1 + 1j), high + PAD * (1 + 1j)
    boxes = text_boxes(layers)
    spans_x = [(minimum.real, maximum.real) for minimum, maximum in boxes]
    spans_y = [(minimum.imag, maximum.imag) for minimum, maximum in boxes]
    trials = {lean: tiled(low, high, paper, lean * (1 + 1j)) for lean in LEANS}
    across = min(LEANS, key=lambda lean: _struck(spans_x, trials[lean].cuts_x))
    along = min(LEANS, key=lambda lean: _struck(spans_y, trials[lean].cuts_y))
    return tiled(low, high, paper, complex(across, along))


def _struck(spans: Sequence[tuple[float, float]], cuts: Sequence[float]) -> int:
    """How many spans (m) reach into an overlap."""
    reach = OVERLAP / 2
    return sum(low < cut + reach and high > cut - reach for low, high in spans for cut in cuts)


def _sheet_page(layers: tuple[Layer, ...], tiling: Tiling, sheet: Sheet, title: str) -> Page:
    shift = WINDOW_CORNER - sheet.low
    view = View(
        layers=layers, scale=1.0, shift=shift, low=WINDOW_CORNER, high=WINDOW_CORNER + tiling.paper.window
    )
    black = [*_heading(tiling, sheet, title), *check_bars(), *_neighbours(tiling, sheet)]
    lines = [*_cut_lines(tiling, sheet, shift)]
    return Page(
        name=f"Sheet {sheet.number}",
        views=(view,),
        layers=(dashed(lines), marks([*black, *_registration(tiling, sheet, shift)])),
    )


def check_bars() -> list[Primitive]:
    """A bar of 100 mm, divided by ten, along the lower and along the left edge of a sheet."""
    bars: list[Primitive] = []
    corner = complex(*BAR_LEVEL)
    for start, along in ((corner, 1 + 0j), (complex(corner.imag, corner.real), 1j)):
        bars.append(segment(start, start + BAR * along))
        for index in range(11):
            tick = (2e-3 if index in (0, 10) else 0.8e-3) * 1j * along
            place = start + index * BAR / 10 * along
            bars.append(segment(place - tick, place + tick))
    x, y = BAR_LEVEL
    return [
        *bars,
        Text("100 mm", complex(x + BAR + 3e-3, y - 1.1e-3), 2.2e-3, Anchor.START),
        Text("100", complex(y, x + BAR + 6.4e-3), 2.2e-3),
        Text("mm", complex(y, x + BAR + 3e-3), 2.2e-3),
    ]


def _heading(tiling: Tiling, sheet: Sheet, title: str) -> Iterator[Text]:
    paper = tiling.paper
    y = paper.height - MARGIN - 3e-3
    place = f"Sheet {sheet.number} of {tiling.count}, column {sheet.column} row {sheet.row}"
    yield Text(trimmed(title, 3e-3, paper.width - 95e-3), complex(MARGIN, y), 3e-3, Anchor.START)
    yield Text(place, complex(paper.width - MARGIN, y), 2.6e-3, Anchor.END)
    yield Text(PRINT_NOTE, complex(MARGIN, y - 4.5e-3), 2e-3, Anchor.START)


def _neighbours(tiling: Tiling, sheet: Sheet) -> Iterator[Text]:
    """Which sheet follows at each edge."""
    paper, corner = tiling.paper, WINDOW_CORNER
    level, upright = corner.real + 0.75 * paper.window.real, corner.imag + 0.75 * paper.window.imag
    above, below = corner.imag + paper.window.imag + 1.5e-3, corner.imag - 4.5e-3
    beside = corner.real + paper.window.real + 4.2e-3
    for step, sign, place in ((-1, "▲", above), (1, "▼", below)):
        if 1 <= sheet.row + step <= tiling.rows:
            number = tiling.sheet(sheet.column, sheet.row + step).number
            yield Text(f"{sign} sheet {number}", complex(level, place), 2e-3)
    for step, sign, place in ((-1, "◀", corner.real - 5e-3), (1, "▶", beside)):
        if 1 <= sheet.column + step <= tiling.columns:
            number = tiling.sheet(sheet.column + step, sheet.row).number
            for line, word in enumerate((sign, "sheet", str(number))):
                yield Text(word, complex(place, upright - line * 3.2e-3), 1.7e-3)


def _joints(tiling: Tiling, sheet: Sheet) -> tuple[list[float], list[float]]:
    """x and y of the cut lines that cross this sheet's window, m."""
    high = sheet.low + tiling.paper.window
    return (
        [x for x in tiling.cuts_x if sheet.low.real < x < high.real],
        [y for y in tiling.cuts_y if sheet.low.imag < y < high.imag],
    )


def _cut_lines(tiling: Tiling, sheet: Sheet, shift: complex) -> Iterator[Primitive]:
    """Along the middle of each overlap, a little beyond the window."""
    xs, ys = _joints(tiling, sheet)
    low, high, beyond = sheet.low + shift, sheet.low + shift + tiling.paper.window, 1e-3
    for x in xs:
        place = x + shift.real
        yield segment(complex(place, low.imag - beyond), complex(place, high.imag + beyond))
        yield Text("✂", complex(place, high.imag + 1.5 * beyond), 2.2e-3)
    for y in ys:
        place = y + shift.imag
        yield segment(complex(low.real - beyond, place), complex(high.real + beyond, place))
        yield Text("✂", complex(high.real + 3 * beyond, place - 1e-3), 2.2e-3)


def _registration(tiling: Tiling, sheet: Sheet, shift: complex) -> Iterator[Primitive]:
    """Crosses in rings on the cut lines; both sheets show them at the same place of the drawing."""
    xs, ys = _joints(tiling, sheet)
    window = tiling.paper.window
    places = [complex(x, sheet.low.imag + part * window.imag) for x in xs for part in (0.2, 0.5, 0.8)]
    places += [complex(sheet.low.real + part * window.real, y) for y in ys for part in (0.2, 0.5, 0.8)]
    for place in places:
        yield Circle(place + shift, 0.22 * OVERLAP)
        yield from cross(place + shift, 0.4 * OVERLAP)
