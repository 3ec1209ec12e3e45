"""The sheets of a paper template at full size, with their marks, behind an overview of the whole at reduced scale."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import ceil
from textwrap import wrap

from geometry.drawing.primitives import (
    CHARACTER_WIDTH,
    Anchor,
    Circle,
    Drawing,
    Layer,
    Primitive,
    Text,
    arrowhead,
    cross,
    drawing_bounds,
    north_mark,
    polygon,
    printable,
    segment,
    south_mark,
)
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

EDGE = 12e-3  # m, margin of the overview
LARGEST_SCALE = 0.7  # of the overview, so that nobody takes it for full size


def overview_page(drawing: Drawing, shown: tuple[Layer, ...], tiling: Tiling, title: str) -> Page:
    """The whole at reduced scale with the map of its sheets, the legend and what one must know."""
    paper = tiling.paper
    lines = _instructions(drawing, tiling, paper.width - 2 * EDGE)
    rows = legend_rows(shown)
    text_top = EDGE + 3.8e-3 * len(lines)
    legend_top = text_top + 3e-3 + 5e-3 * rows
    low, high = complex(EDGE, legend_top + 3e-3), complex(paper.width - EDGE, paper.height - EDGE - 20e-3)
    view = _reduced(shown, low, high)
    map_lines, map_numbers = _sheet_map(tiling, view)
    text = [
        Text(line, complex(EDGE, text_top - 3.8e-3 * (index + 1) + 1e-3), 2e-3, Anchor.START)
        for index, line in enumerate(lines)
    ]
    legend = legend_layers(shown, complex(EDGE, legend_top), (paper.width - 2 * EDGE) / 2)
    return Page(
        name="Overview",
        views=(view,),
        layers=(dashed(map_lines), marks([*_title(tiling, title), *map_numbers, *text]), *legend),
    )


def _title(tiling: Tiling, title: str) -> Iterator[Primitive]:
    paper = tiling.paper
    top, right = paper.height - EDGE, paper.width - EDGE
    sheets = "1 sheet" if tiling.count == 1 else f"{tiling.count} sheets"
    about = f"Overview. The template follows at full size on {sheets} of {paper.name}."
    yield Text(trimmed(title, 4e-3, right - EDGE), complex(EDGE, top - 4e-3), 4e-3, Anchor.START)
    yield Text(about, complex(EDGE, top - 13e-3), 2.2e-3, Anchor.START)
    box = [complex(right, top - 7.5e-3), complex(right - 52e-3, top - 7.5e-3)]
    yield polygon([*box, box[1] - 9e-3j, box[0] - 9e-3j])
    yield Text("NOT TO SCALE", complex(right - 26e-3, top - 14e-3), 4e-3)


def _instructions(drawing: Drawing, tiling: Tiling, width: float) -> list[str]:
    """Lines of text for the foot of the overview."""
    sentences = [*notes(drawing), PRINT_NOTE.replace("Both bars", "The two bars on each sheet")]
    if tiling.count > 1:
        sentences.append(
            "To join the sheets, cut each along the dashed lines at its right and at its lower edge (✂), lay "
            "the cut edge on the dashed line of the next sheet so that the rings close, and tape."
        )
    return [line for sentence in sentences for line in wrapped(sentence, 2e-3, width)]


def _reduced(layers: Sequence[Layer], low: complex, high: complex) -> View:
    """All layers between two corners of the page (m)."""
    minimum, maximum = drawing_bounds(Drawing(title="", layers=tuple(layers)))
    clearance, size = high - low, maximum - minimum + 8e-3 * (1 + 1j)
    scale = min(clearance.real / size.real, clearance.imag / size.imag, LARGEST_SCALE)
    shift = (low + high) / 2 - scale * (minimum + maximum) / 2
    return View(layers=tuple(layers), scale=scale, shift=shift, low=low, high=high)


def _sheet_map(tiling: Tiling, view: View) -> tuple[list[Primitive], list[Primitive]]:
    """Borders of the sheets over the reduced drawing, and a number in the corner of each."""
    minimum, maximum = drawing_bounds(Drawing(title="", layers=view.layers))
    margin = 3e-3 * (1 + 1j)
    low, high = minimum - margin, maximum + margin
    xs, ys = [low.real, *tiling.cuts_x, high.real], [low.imag, *tiling.cuts_y, high.imag]
    ends = [(complex(x, low.imag), complex(x, high.imag)) for x in xs]
    ends += [(complex(low.real, y), complex(high.real, y)) for y in ys]
    lines: list[Primitive] = [segment(*(view.scale * z + view.shift for z in pair)) for pair in ends]
    size = min(3e-3, 0.12 * view.scale * min(b - a for a, b in (*pairwise(xs), *pairwise(ys))))
    taken = [tuple(view.scale * z + view.shift for z in box) for box in text_boxes(view.layers)]
    numbers: list[Primitive] = []
    for sheet in tiling.sheets():
        left, right = xs[sheet.column - 1 : sheet.column + 1]
        bottom, top = ys[tiling.rows - sheet.row : tiling.rows - sheet.row + 2]
        cell = [view.scale * complex(*z) + view.shift for z in ((left, bottom), (right, top))]
        numbers.append(_sheet_label(f"Sheet {sheet.number}", size, cell, taken))
    return lines, numbers


def _sheet_label(text: str, size: float, cell: Sequence[complex], taken: Sequence[Sequence[complex]]) -> Text:
    """A label in that corner of a cell, the upper left one if it can be, where it covers the fewest texts."""
    (low, high), inset = cell, 0.6 * size
    width = CHARACTER_WIDTH * size * len(text)
    level, upright = (
        (low.real + inset, high.real - inset - width),
        (high.imag - inset - size, low.imag + inset),
    )

    def covered(place: complex) -> int:
        end = place + complex(width, size)
        return sum(
            a.real < end.real and b.real > place.real and a.imag < end.imag and b.imag > place.imag
            for a, b in taken
        )

    return Text(text, min((complex(x, y) for y in upright for x in level), key=covered), size, Anchor.START)


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
