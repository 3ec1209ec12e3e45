"""Numbers stand beside the winding, words too where the disc has room; nothing touches."""

from itertools import combinations

import pytest
from drawing_checks import boxes
from family import nine_wedges, three_serpentines
from layouts import lantern_layout
from shapely import LineString, Point, Polygon, box

from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Circle, Path, Text, drawing_bounds, point
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet


def wide_serpentine(**changes) -> Layout:
    """Twenty legs to a radius of 84 mm on a disc of 300 mm."""
    magnet = DiscMagnet.of_grade(diameter=0.02, thickness=0.0045, grade="N52")
    sizes = {
        "count": 20,
        "pitch_radius": 0.0705,
        "inner_radius": 0.056,
        "outer_radius": 0.08447,
        "width": 0.00857,
    }
    space = {"outer_diameter": 0.3, "bore_diameter": 0.01, "peg_radius": 0.003}
    return lantern_layout(magnet=magnet, **(sizes | space | changes))


WIDE = {
    "serpentine": wide_serpentine(),
    "a narrower disc": wide_serpentine(outer_diameter=0.22),
    "wedges": lantern_layout("wedge", outer_diameter=0.2),
    "nine wedges": nine_wedges(outer_diameter=0.25),
    "three serpentines": three_serpentines(outer_diameter=0.21),
}


def numbers(layout: Layout) -> list[Text]:
    return [p for p in draw_layout(layout).layer("NUMBERS").primitives if isinstance(p, Text)]


def place(text: Text) -> Polygon:
    half, (x, y) = 0.425 * text.height * len(text.text), (text.position.real, text.position.imag)
    left = {"start": x, "middle": x - half, "end": x - 2 * half}[text.anchor.value]
    return box(left, y, left + 2 * half, y + text.height)


@pytest.mark.parametrize("name", WIDE)
def test_numbers_stand_beside_the_winding(name):
    layout = WIDE[name]
    for text in numbers(layout):
        middle = Point(text.position.real, text.position.imag + 0.5 * text.height)
        beyond = middle.distance(Point(0, 0)) - layout.winding.outer_radius
        assert 0 < beyond < (0.02 if layout.phases == 1 else 0.035)


@pytest.mark.parametrize("name", WIDE)
def test_labels_touch_neither_each_other_nor_winding_and_rim(name):
    layout = WIDE[name]
    drawing = draw_layout(layout)
    for (x0, y0, x1, y1), (u0, v0, u1, v1) in combinations(boxes(drawing), 2):
        assert x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0
    space, winding = (
        Point(0, 0).buffer(r, 256) for r in (layout.space.outer_radius, layout.winding.outer_radius)
    )
    for text in numbers(layout):
        assert not place(text).intersects(space.boundary)
        assert not place(text).intersects(winding)


def test_start_and_finish_come_out_beside_a_winding_on_a_wide_disc():
    drawing = draw_layout(wide_serpentine())
    words = [
        p
        for name in ("DIRECTION", "CONNECTIONS")
        for p in drawing.layer(name).primitives
        if isinstance(p, Text)
    ]
    assert [word.text for word in words] == ["START", "FINISH"]
    assert all(abs(word.position) < 0.105 for word in words)
    ends = [p for p in drawing.layer("CONNECTIONS").primitives if isinstance(p, Path)]
    assert max(abs(point(s.at(1))) for p in ends for s in p.curve) < 0.102  # 0.092 and the former beyond it


def test_no_lead_runs_through_a_number():
    for layout in WIDE.values():
        drawing = draw_layout(layout)
        paths = [
            p
            for n in ("DIRECTION", "CONNECTIONS")
            for p in drawing.layer(n).primitives
            if isinstance(p, Path)
        ]
        leads = [
            LineString([(z.real, z.imag) for s in path.curve for z in s.at([0, 0.5, 1])]) for path in paths
        ]
        for text in numbers(layout):
            assert not any(lead.intersects(place(text)) for lead in leads)


def test_a_wide_disc_takes_no_more_paper_than_itself():
    drawing = draw_layout(wide_serpentine())
    layers = tuple(y for y in drawing.layers if y.name not in ("CAPTION", "CHECK_LINE"))
    low, high = drawing_bounds(type(drawing)(title="", layers=layers))
    assert Circle(0j, 0.15) in drawing.layer("CARRIER_OUTLINE").primitives
    assert (high - low).real == pytest.approx(0.3)
    assert (high - low).imag == pytest.approx(0.3)
