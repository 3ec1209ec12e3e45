"""Does it fit the printer's bed, and do the pieces of one that does not add up to the whole?"""

from math import pi

import numpy as np
import pytest
from layouts import lantern_layout
from printed import SHAPES, diameter_of, loops_at, part_of, read_stl

from geometry.parts.bed import check_bed, mesh_volume, parts_for_bed, split_part
from geometry.parts.carrier import carrier_part, cover_part
from geometry.parts.former import former_part
from geometry.parts.meshes import Mesh
from geometry.stock.magnet import DiscMagnet


def test_bed():
    part = part_of(carrier_part)
    assert check_bed(part, (110.1, 110.1)) is None
    assert check_bed(part, (200, 109)) == (
        "carrier measures 110.0 × 110.0 mm and does not fit a bed of 200 × 109 mm, however it is turned"
    )
    with pytest.raises(ValueError, match=r"bed_mm must be two lengths above zero, was \(0, 100\)"):
        check_bed(part, (0, 100))
    whole, warning = parts_for_bed(part, (120, 120))
    assert (whole, warning) == ((part,), None)
    pieces, warning = parts_for_bed(part, (100, 100))
    assert len(pieces) == 2
    assert "cut into 2 pieces" in str(warning)
    pieces, warning = parts_for_bed(part, (85, 60))
    assert len(pieces) == 4
    assert all(check_bed(piece, (85, 60)) is None for piece in pieces)
    pieces, warning = parts_for_bed(part, (30, 30))
    assert pieces == (part,)
    assert "use a larger bed" in str(warning)


@pytest.mark.parametrize("bed", [(120, 60), (85, 60), (57, 120)])
def test_pieces_lie_turned_so_that_their_files_fit_as_they_are(bed):
    pieces, _ = parts_for_bed(part_of(carrier_part), bed)
    assert len(pieces) > 1
    for piece in pieces:
        mesh = read_stl(piece)
        assert mesh.is_watertight
        assert mesh.extents[0] <= bed[0] + 1e-3
        assert mesh.extents[1] <= bed[1] + 1e-3
        assert mesh.volume == pytest.approx(piece.volume * 1e9, rel=1e-5)


@pytest.mark.slow
@pytest.mark.parametrize("count", [2, 4])
@pytest.mark.parametrize("topology", SHAPES)
@pytest.mark.parametrize("make", [carrier_part, cover_part, former_part])
def test_pieces_are_closed_flat_and_add_up(make, topology, count):
    part = part_of(make, topology)
    pieces = split_part(part, count)
    assert [piece.name for piece in pieces] == [f"{part.name}_{k}_of_{count}" for k in range(1, count + 1)]
    for piece in pieces:
        mesh = read_stl(piece)
        assert mesh.is_watertight
        assert mesh.body_count == 1
        assert mesh.bounds[0][2] == 0
        assert mesh.volume == pytest.approx(piece.volume * 1e9, rel=1e-5)
    pins = count * 2 * pi / 4 * 1.9**2 * 10 if make is carrier_part else 0.0
    assert sum(piece.volume for piece in pieces) * 1e9 == pytest.approx(
        mesh_volume(part.mesh) * 1e9 - pins, rel=1e-4
    )


def test_seams_pass_between_the_pockets():
    for piece in split_part(part_of(carrier_part), 4):
        loops = loops_at(piece, 2.3e-3)
        pockets = [loop for loop in loops if diameter_of(loop) == pytest.approx(15.2, abs=2e-3)]
        assert len(pockets) == 2


def test_seams_pass_where_walls_are_thin():
    magnet = DiscMagnet.of_grade(diameter=0.0155, thickness=0.004, grade="N42")
    part = carrier_part(lantern_layout(count=16, magnet=magnet, pitch_radius=0.045))  # 1.86 mm between pockets
    pieces, warning = parts_for_bed(part, (85, 60))
    assert "cut into 4 pieces" in str(warning)
    for piece in pieces:
        loops = loops_at(piece, 2.3e-3)
        assert sum(diameter_of(loop) == pytest.approx(15.7, abs=2e-3) for loop in loops) == 4


def test_pins_of_two_seams_do_not_meet_near_a_small_bore():
    part = carrier_part(lantern_layout(bore_diameter=0.001))
    holes = mesh_volume(part.mesh) - sum(piece.volume for piece in split_part(part, 4))
    pins = 4 * 2  # one near the bore and one near the rim of each seam
    assert holes * 1e9 == pytest.approx(pins * pi / 4 * 1.9**2 * 10, rel=0.01)


def test_split_into_three_or_through_pockets_is_refused():
    with pytest.raises(ValueError, match="2 or 4 pieces, was 3"):
        split_part(part_of(carrier_part), 3)
    magnet = DiscMagnet.of_grade(diameter=0.0165, thickness=0.004, grade="N42")
    crowded = carrier_part(lantern_layout(count=16, magnet=magnet, pitch_radius=0.045, wall=0.001))
    with pytest.raises(
        ValueError, match="carrier cannot be cut into 2 pieces without cutting pockets, cores, holes or words"
    ):
        split_part(crowded, 2)
    whole, warning = parts_for_bed(crowded, (85, 60))
    assert whole == (crowded,)
    assert str(warning).endswith(
        "two or four pieces that do (a seam needs 1.2 mm between pockets, cores, holes or words, has 0.86 mm):"
        " use a larger bed"
    )


def test_open_mesh_is_refused():
    corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    closed = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    assert mesh_volume(Mesh(corners_mm=corners, triangles=closed)) == pytest.approx(1 / 6 * 1e-9)
    with pytest.raises(ValueError, match="must be closed"):
        Mesh(corners_mm=corners, triangles=closed[:3])
