"""Parts of three phases, facing carriers, two sides and steel."""

from math import pi

import numpy as np
import pytest
from family import FAMILY, facing_wedges, nine_wedges, three_serpentines
from layouts import lantern_layout
from printed import center_of, diameter_of, loops_at, read_stl

from geometry.parts.carrier import carrier_part
from geometry.parts.former import former_part
from geometry.parts.pockets import PrintOptions
from geometry.stock.magnet import DiscMagnet, RingMagnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet


@pytest.mark.slow
@pytest.mark.parametrize("name", FAMILY)
def test_parts_of_the_family_are_closed_whole_and_of_the_analytic_volume(name):
    layout = FAMILY[name]
    parts = [former_part(layout, None, side) for side in range(layout.sides)]
    thin = PrintOptions(floor=0.6e-3, letter_depth=0.2e-3)
    parts.append(carrier_part(layout, thin if layout.sides > 1 else None))
    if layout.carrier.carriers > 1:
        parts.append(carrier_part(layout, second=True))
    for part in parts:
        mesh = read_stl(part)
        assert mesh.is_watertight
        assert mesh.body_count == 1
        assert mesh.volume == pytest.approx(part.volume * 1e9, rel=5e-4)


@pytest.mark.slow
def test_former_of_the_other_side_is_the_mirror_image():
    layout = nine_wedges(arrangement="two-sided")
    first, second = (former_part(layout, None, side) for side in (0, 1))
    assert (first.name, second.name) == ("former", "former_side_2")
    height = PrintOptions().plate + 2e-3
    here, there = ([center_of(loop) for loop in loops_at(part, height)] for part in (first, second))
    mirrored = [z.conjugate() for z in there]
    assert all(min(abs(a - b) for b in mirrored) < 0.01 for a in here)
    assert len(here) == len(there) == 9


def test_interleaved_halves_are_shaped_between_islands_of_half_the_height():
    layered, halved = three_serpentines(), three_serpentines(stacking="interleaved", height=0.004)
    assert read_stl(former_part(layered)).extents[2] == pytest.approx(2.5 + 3)
    assert read_stl(former_part(halved)).extents[2] == pytest.approx(2.5 + 2)
    assert "13 and 12 turns" in " ".join(former_part(halved).notes)


def test_the_second_carrier_shows_the_other_pole_everywhere():
    """Letters engraved in the face beyond the pockets: N has more area than S."""
    layout = facing_wedges()
    areas = []
    for second in (False, True):
        part = carrier_part(layout, second=second)
        loops = loops_at(part, part.thickness - 0.2e-3)
        beyond = [loop for loop in loops if loop.area < 40 and abs(center_of(loop)) > 48]
        angles = {round(np.angle(center_of(loop)) / (pi / 4)) % 8: loop.area for loop in beyond}
        areas.append([angles[magnet] for magnet in range(8)])
    north, south = areas[0][:2]
    assert north > south + 0.5
    assert areas[0] == pytest.approx([north, south] * 4, rel=1e-3)
    assert areas[1] == pytest.approx([south, north] * 4, rel=1e-3)


def test_pockets_go_through_to_the_steel():
    part = carrier_part(facing_wedges())
    assert read_stl(part).extents[2] == pytest.approx(
        4.1
    )  # the carrier stands on a line of glue, as the magnets do
    holes = [loop for loop in loops_at(part, 0.1e-3) if diameter_of(loop) == pytest.approx(15.2, abs=0.02)]
    assert len(holes) == 8


def test_a_floor_that_touches_the_second_sides_coil_is_refused():
    layout = nine_wedges(arrangement="two-sided")
    with pytest.raises(
        ValueError, match=r"floor \(1\.2 mm\) and glue \(0\.15 mm\) must leave 0\.4 mm of the air gap"
    ):
        carrier_part(layout)


@pytest.mark.parametrize(
    "magnet",
    [
        DiscMagnet(diameter=0.015, thickness=0.004, remanence=1.3),
        RingMagnet(diameter=0.018, bore=0.007, thickness=0.004, remanence=1.3),
        BlockMagnet(length=0.02, width=0.012, thickness=0.004, remanence=1.3),
        ArcMagnet(inner_radius=0.03, outer_radius=0.05, angle_deg=30, thickness=0.004, remanence=1.3),
    ],
    ids=lambda magnet: magnet.shape,
)
def test_the_thickest_magnet_on_its_glue_does_not_stand_proud(magnet):
    """4 mm and 0.1 mm of tolerance on 0.15 mm of glue: the written pocket runs from the floor to 4.25 mm above."""
    part = carrier_part(lantern_layout("wedge", magnet=magnet, outer_diameter=0.12, wall=0.001))
    top = read_stl(part).extents[2]
    assert top - 1.2 == pytest.approx(4 + 0.1 + 0.15, abs=1e-3)
    for height in (1.21e-3, top * 1e-3 - 1e-5):
        open_pockets = [loop for loop in loops_at(part, height) if 100 < loop.area < 500]
        assert len(open_pockets) == 8
    assert "0.25 mm deeper" in part.notes[0]
    assert "0.2 mm below" in part.notes[0]
