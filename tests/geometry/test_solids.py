"""Parts to print, measured on what the written files hold: closed, one body, right volume, right places."""

import io
import subprocess
import sys
from cmath import rect
from hashlib import sha256
from math import pi

import numpy as np
import pytest
import trimesh
from layouts import lantern_layout
from printed import COUNTS, SHAPES, center_of, diameter_of, layout_of, loops_at, part_of, read_stl
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate, scale

from geometry.coils.topology import sector_axes
from geometry.drawing.coil_drawing import former_radius
from geometry.drawing.primitives import enclosed_area
from geometry.fit.judge import bundle_polygon
from geometry.parts.carrier import carrier_part, cover_part
from geometry.parts.former import former_part
from geometry.parts.pockets import PrintOptions
from geometry.parts.solids import annulus, stl_bytes, threemf_bytes
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire


@pytest.mark.slow
@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("topology", SHAPES)
@pytest.mark.parametrize("make", [carrier_part, cover_part, former_part])
def test_stl_is_closed_whole_flat_and_of_the_analytic_volume(make, topology, count):
    part = part_of(make, topology, count)
    mesh = read_stl(part)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.body_count == 1
    assert mesh.volume == pytest.approx(part.volume * 1e9, rel=5e-4)
    assert mesh.bounds[0][2] == 0
    on_bed = (mesh.triangles[:, :, 2] == 0).all(axis=1)
    assert mesh.area_faces[on_bed].sum() > 0.8 * pi * (55**2 - 15**2) * (mesh.extents[0] / 110) ** 2


@pytest.mark.parametrize("make", [carrier_part, cover_part, former_part])
def test_3mf_holds_the_same_body_in_millimetres(make):
    part = part_of(make)
    scene = trimesh.load(io.BytesIO(threemf_bytes(part)), file_type="3mf")
    (mesh,) = scene.geometry.values()
    assert scene.units == "millimeter"
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(part.volume * 1e9, rel=5e-4)
    assert mesh.extents == pytest.approx(read_stl(part).extents, abs=1e-4)


def test_closed_form_volume_without_letters():
    """π/4 ((110² − 30²)(1.2 + 4.25) − 8 · 15.2² · 4.25) mm³ less letters, which take under 1 %.

    A pocket holds a magnet of 4 mm, the 0.1 mm by which it may be thicker and 0.15 mm of glue.
    """
    bare = pi / 4 * ((110**2 - 30**2) * 5.45 - 8 * 15.2**2 * 4.25)
    volume = part_of(carrier_part).volume * 1e9
    assert 0.99 * bare < volume < bare


@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("clearance", [0.0, 0.2e-3, 0.35e-3])
def test_pockets_hold_the_magnets_with_the_clearance(count, clearance):
    layout = layout_of(count=count)
    options = PrintOptions(pocket_clearance=clearance)
    magnet = layout.carrier.magnet
    part = carrier_part(layout, options)
    loops = loops_at(part, options.floor + magnet.thickness / 2)
    pockets = [loop for loop in loops if abs(center_of(loop)) > 1]
    assert len(pockets) == count
    found = sorted((np.angle(center_of(loop)) + 1e-3) % (2 * pi) - 1e-3 for loop in pockets)
    assert found == pytest.approx(sector_axes(count), abs=1e-5)
    for loop in pockets:
        assert abs(center_of(loop)) == pytest.approx(layout.carrier.pitch_radius * 1e3, abs=1e-3)
        assert diameter_of(loop) == pytest.approx((magnet.diameter + clearance) * 1e3, abs=2e-3)
    rim, bore = sorted((diameter_of(loop) for loop in loops if abs(center_of(loop)) < 1), reverse=True)
    assert (rim, bore) == pytest.approx((110, 30), abs=2e-3)
    assert part.mesh.bounds_mm[1][2] == pytest.approx((options.floor + magnet.thickness) * 1e3 + 0.25)
    floors = loops_at(part, options.floor - options.letter_depth - 1e-5)
    assert len(floors) == 2  # below the pockets there is only rim and bore


@pytest.mark.parametrize("count", COUNTS)
def test_every_pole_is_marked_on_both_faces(count):
    """The letter beside a pocket names the pole that looks at the coil, the one behind it the other pole."""
    layout = layout_of(count=count)
    part = carrier_part(layout)
    face = loops_at(part, part.thickness - 0.2e-3)
    back = loops_at(part, 0.2e-3)
    for index, angle in enumerate(sector_axes(count)):
        assert letter_at(face, angle, mirrored=False) == "NS"[index % 2]
        assert letter_at(back, angle, mirrored=True) == "SN"[index % 2]


def test_letters_stand_on_the_pockets_floors_when_the_face_has_no_room():
    magnet = DiscMagnet.of_grade(diameter=0.020, thickness=0.004, grade="N42")
    layout = lantern_layout(magnet=magnet, outer_diameter=0.088, bore_diameter=0.036, pitch_radius=0.031)
    part = carrier_part(layout)
    assert "on the floor of each pocket" in part.notes[1]
    floors = loops_at(part, 1.0e-3)  # between the letters of the back and the floor
    for index, angle in enumerate(sector_axes(8)):
        assert letter_at(floors, angle, mirrored=False) == "NS"[index % 2]


def letter_at(loops: list[Polygon], angle: float, mirrored: bool) -> str:
    """Reads the letter on the axis at `angle`: N has whole strokes left and right and falls to the right."""
    turned = [rotate(loop, pi / 2 - angle, origin=(0, 0), use_radians=True) for loop in loops]
    (letter,) = [
        loop for loop in turned if abs(loop.centroid.x) < 0.5 and loop.centroid.y > 20 and loop.area < 30
    ]
    if mirrored:
        letter = scale(letter, -1, 1, origin=(0, 0))
    left, low, right, high = letter.bounds
    width, height = right - left, high - low

    def covered(x0: float, y0: float, x1: float, y1: float) -> float:
        line = LineString([(left + x0 * width, low + y0 * height), (left + x1 * width, low + y1 * height)])
        return line.intersection(letter).length / line.length

    upright = [covered(x, 0.08, x, 0.92) for x in (0.08, 0.92)]
    if min(upright) > 0.99:
        assert covered(0.3, 0.7, 0.4, 0.6) > 0.9
        assert covered(0.3, 0.2, 0.4, 0.3) < 0.1
        return "N"
    assert covered(0.3, 0.93, 0.7, 0.93) > 0.9
    assert covered(0.08, 0.6, 0.08, 0.8) > 0.9
    assert covered(0.92, 0.6, 0.92, 0.7) < 0.1
    return "S"


@pytest.mark.parametrize("count", COUNTS)
def test_islands_of_a_serpentine_leave_the_bundle_open_and_nothing_else(count):
    """Above the plate of the written part the judge's bundle is open, and the ways of the wire's ends."""
    layout = layout_of(count=count)
    part = former_part(layout)
    for height in (0.1e-3, layout.winding.height / 2, layout.winding.height - 0.5e-3):
        islands = solid_at(part, PrintOptions().plate + height)
        whole = annulus(15.0, former_radius(layout) * 1e3)
        opened = whole.difference(islands)
        bundle = scale(bundle_polygon(layout), 1e3, 1e3, origin=(0, 0))
        assert bundle.difference(opened).area < 2e-3 * bundle.area
        ends = opened.difference(bundle.buffer(0.01))
        assert ends.area < 1.1 * (5 * 1.5 + 1.7 * 1.5)  # a notch of 5 mm, a slot of 1.7 mm, 1.5 mm wide each
        assert all(abs(x) > layout.winding.outer_radius * 1e3 - 3 for x in ends.bounds[::2])
    assert part.mesh.bounds_mm[1][2] == pytest.approx((PrintOptions().plate + layout.winding.height) * 1e3)


def solid_at(part, height):
    """What is solid at a height, mm: loops within loops by turns solid and open."""
    loops = sorted(loops_at(part, height), key=lambda loop: -loop.area)
    found = Polygon()
    for loop in loops:
        found = found.symmetric_difference(loop)
    return found


@pytest.mark.parametrize("topology", ["wedge", "round"])
def test_cores_fill_the_holes_of_the_coils(topology):
    layout = layout_of(topology)
    loops = loops_at(former_part(layout), 2.5e-3 + layout.winding.height / 2)
    hole = layout.topology.turn(layout.envelope, -layout.winding.width / 2)
    assert len(loops) == 8
    for angle in layout.order.axes:
        loop = min(loops, key=lambda one: abs(np.angle(center_of(one) * rect(1, -angle))))
        assert loop.area == pytest.approx(abs(enclosed_area(hole)) * 1e6, rel=2e-3)  # chords of 5 µm sagitta
    if topology == "round":
        assert diameter_of(loops[0]) == pytest.approx(20 - 2 * 4, abs=1e-2)


def test_enclosed_area_of_a_wedge_hole_agrees_with_fine_chords():
    layout = layout_of("wedge")
    hole = layout.topology.turn(layout.envelope, -layout.winding.width / 2)
    points = np.concatenate([stretch.at(np.linspace(0, 1, 2000, endpoint=False)) for stretch in hole])
    assert abs(enclosed_area(hole)) == pytest.approx(
        Polygon(np.column_stack((points.real, points.imag))).area, rel=1e-6
    )


@pytest.mark.parametrize("topology", SHAPES)
def test_former_lets_starts_out_under_the_bundle_and_finishes_outside(topology):
    layout = layout_of(topology)
    loops = loops_at(former_part(layout), 1.25e-3)  # between the letters of both faces
    plate = max(loops, key=lambda loop: loop.area)
    holes = [loop for loop in loops if loop is not plate and diameter_of(loop) < 5]
    assert len(holes) == 2 * layout.coils - 1
    assert not plate.contains(Point(54.5, 0))  # the notch, open to the rim, at the start of the winding
    assert plate.contains(Point(-54.5, 0))
    wire = layout.winding.wire.overall_diameter * 1e3
    assert all(diameter_of(hole) > wire for hole in holes)
    radii = [abs(center_of(hole)) - diameter_of(hole) / 2 for hole in holes]
    assert sum(radius > 50 for radius in radii) == layout.coils
    assert sum(46 < radius < 50 for radius in radii) == layout.coils - 1
    assert min(plate.exterior.distance(hole) for hole in holes) > 2.4  # nothing stands as a thin fin


@pytest.mark.parametrize("outer", [0.05, 0.055])
@pytest.mark.parametrize("topology", SHAPES)
def test_plate_reaches_beyond_the_bundle_and_says_so_where_it_leaves_the_carrier(topology, outer):
    layout = lantern_layout(topology, outer_radius=outer, inner_radius=0.035 if topology == "round" else 0.02)
    part = former_part(layout)
    assert part.mesh.bounds_mm[1][0] == pytest.approx(outer * 1e3 + 5, abs=0.1)
    beyond = "120 mm across and reaches 5 mm beyond the carrier's rim"
    assert (beyond in " ".join(part.notes)) == (outer > 0.05)


def test_holes_pass_wire_of_any_thickness():
    layout = lantern_layout("wedge", wire=Wire(diameter=1e-3), turns=2)
    loops = loops_at(former_part(layout, PrintOptions(exit_diameter=0.3e-3)), 1.25e-3)
    holes = [loop for loop in loops if diameter_of(loop) < 5]
    assert min(map(diameter_of, holes)) == pytest.approx(
        layout.winding.wire.overall_diameter * 1e3 + 0.1, abs=0.01
    )


@pytest.mark.parametrize(("height", "mirrored"), [(2.5e-3 + 5e-3 - 0.2e-3, False), (0.2e-3, True)])
def test_start_and_finish_are_engraved_beside_their_holes(height, mirrored):
    """On the outer island, or behind it: five letters, of which two have an eye, and six; from behind a hole, too."""
    loops = loops_at(former_part(layout_of()), height)
    letters = [loop for loop in loops if loop.area < 30 and center_of(loop).real > 48]
    sides = [center_of(loop).imag > 2 for loop in letters]
    assert (sides.count(False), sides.count(True)) == (7, 6 + mirrored)


@pytest.mark.parametrize(
    ("make", "height", "quiet"),
    [(carrier_part, 5.25e-3, 3e-3), (cover_part, 0.5e-3, 0.2e-3), (former_part, 7.3e-3, 6e-3)],
)
def test_letters_are_engraved_in_the_face(make, height, quiet):
    part = part_of(make)
    assert len(loops_at(part, height)) >= len(loops_at(part, quiet)) + 8


@pytest.mark.parametrize("topology", SHAPES)
def test_arrows_lead_the_way_the_voltages_add(topology):
    """About the axis of a coil an arrow lies evenly but for its head, which makes that side heavier."""
    layout = layout_of(topology)
    serpentine = topology == "serpentine"
    loops = loops_at(former_part(layout), 2.5e-3 + 5e-3 - 0.2e-3)
    coils = zip(layout.order.axes, layout.order.senses, strict=True)
    for angle, sense in [(angle, 1) for angle in sector_axes(8)[::2]] if serpentine else coils:
        turned = [rotate(loop, -angle, origin=(0, 0), use_radians=True) for loop in loops]
        near = [
            loop
            for loop in turned
            if 25 < loop.centroid.x < 46 and abs(loop.centroid.y) < 1.5 and loop.area < 30
        ]
        arrow = max(near, key=lambda loop: loop.bounds[3] - loop.bounds[1])
        clockwise = arrow.intersection(box(0, -100, 100, 0)).area
        assert (clockwise > 0.52 * arrow.area) == (sense > 0)
        assert (clockwise < 0.48 * arrow.area) == (sense < 0)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"pocket_clearance": -0.1e-3}, "pocket_clearance must be zero or more, was -0.1 mm"),
        ({"pocket_clearance": float("nan")}, "pocket_clearance must be zero or more, was nan mm"),
        ({"pocket_clearance": 0.2}, r"pocket_clearance must be at most 1 mm \(on the diameter\), was 200 mm"),
        ({"floor": 0.0}, "floor must be above zero, was 0 mm"),
        ({"letter_depth": 0.5e-3}, r"letter_depth must be at most 0.4 mm \(a third of floor\), was 0.5 mm"),
    ],
)
def test_options_that_make_no_sense_are_refused(options, message):
    with pytest.raises(ValueError, match=message):
        PrintOptions(**options)


def test_clearance_that_eats_the_wall_is_refused():
    layout = lantern_layout(wall=0.0005, pitch_radius=0.047)
    with pytest.raises(
        ValueError, match=r"at least 0.4 mm from pocket to the rim, but 0.3 mm leaves 0.35 mm"
    ):
        carrier_part(layout, PrintOptions(pocket_clearance=0.3e-3))
    assert carrier_part(layout, PrintOptions(pocket_clearance=0.2e-3)).volume > 0


def test_cover_must_leave_the_running_clearance():
    with pytest.raises(ValueError, match=r"cover \(0.9 mm\).*air gap \(1.5 mm\) to run in, but .*left 0.35 mm"):
        cover_part(layout_of(), PrintOptions(cover=0.9e-3))
    with pytest.raises(ValueError, match=r"cores that rise 0.6 mm"):
        former_part(layout_of(), PrintOptions(peg_rise=0.6e-3))
    part = cover_part(layout_of(), PrintOptions(cover=0.85e-3))
    assert part.mesh.bounds_mm[1][2] == pytest.approx(0.85)
    assert "0.4 mm of air" in part.notes[1]


SCRIPT = """
import sys
from hashlib import sha256
sys.path.insert(0, "tests")
from layouts import lantern_layout
from printed import COUNTS, SHAPES, center_of, diameter_of, layout_of, loops_at, part_of, read_stl
from geometry.parts.carrier import carrier_part
from geometry.parts.former import former_part
from geometry.parts.solids import stl_bytes, threemf_bytes
for part in (carrier_part(lantern_layout()), former_part(lantern_layout("wedge"))):
    print(sha256(stl_bytes(part) + threemf_bytes(part)).hexdigest())
"""


@pytest.mark.slow
def test_same_layout_gives_same_bytes_in_another_process(request):
    run = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=request.config.rootpath,
        capture_output=True,
        text=True,
        check=True,
    )
    parts = carrier_part(lantern_layout()), former_part(lantern_layout("wedge"))
    assert run.stdout.split() == [sha256(stl_bytes(part) + threemf_bytes(part)).hexdigest() for part in parts]
