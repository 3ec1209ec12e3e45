"""A wedge so narrow that its legs have no length: everything of it can still be drawn and handed over."""

import pytest

from geometry.curves.curve import Line
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import SHORTEST, arrowed
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text
from optimizer.building.pack_parts import PackOptions
from optimizer.packs.build_pack import build_pack

LEGLESS = """
[space]
outer_diameter_mm = 64
bore_diameter_mm = 30
wall_mm = 2
[carrier]
count = 4
pitch_radius_mm = 23.57
[carrier.magnet]
diameter_mm = 12
thickness_mm = 4
grade = "N42"
[winding]
topology = "wedge"
inner_radius_mm = 15
outer_radius_mm = 32
width_mm = 7
height_mm = 4.97
turns = 218
peg_diameter_mm = 3
fill_factor = 0.6
phases = 3
coils = 6
[winding.wire]
diameter_mm = 0.315
enamel_grade = 1
[operation]
air_gap_mm = 1.5
speed_rpm = 400
"""


@pytest.fixture(scope="module")
def legless() -> Layout:
    layout = layout_from_text(LEGLESS, "legless")
    assert not violations(layout)
    return layout


def test_its_arrows_lie_on_what_has_length(legless: Layout):
    turn = legless.topology.turn(legless.envelope, 0.0)
    assert any(float(part.length) <= SHORTEST for part in turn)
    marked = arrowed(turn)
    assert marked
    assert all(float(part.length) > SHORTEST for part in marked)
    assert not any(isinstance(part, Line) for part in marked)
    drawn = draw_layout(legless).layer("DIRECTION").primitives
    assert len(drawn) >= 6 * len(marked)


@pytest.mark.slow
def test_its_pack_is_whole(legless: Layout):
    files = build_pack(legless, PackOptions()).files
    assert {"template.pdf", "template.dxf", "carrier.stl", "former.stl", "report.html"} <= files.keys()
