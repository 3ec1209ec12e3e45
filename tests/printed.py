"""Reading printed parts back: the lantern's parts, and sections through the written STL."""

import io
from functools import cache
from math import pi

import trimesh
from layouts import lantern_layout
from shapely import Polygon

from geometry.parts.solids import Part, stl_bytes
from geometry.stock.magnet import DiscMagnet

SHAPES = ["serpentine", "wedge", "round"]
COUNTS = {  # magnets, each with changes that make the lantern fit
    4: {"inner_radius": 0.03},
    8: {},
    16: {
        "magnet": DiscMagnet.of_grade(diameter=0.010, thickness=0.003, grade="N42"),
        "pitch_radius": 0.045, "inner_radius": 0.035, "width": 0.0025, "peg_radius": 0.001, "turns": 20,
    },
}  # fmt: skip


def layout_of(topology="serpentine", count=8):
    changes = dict(COUNTS[count])
    if topology == "round" and count == 16:
        changes["inner_radius"] = 0.036
    return lantern_layout(topology, count=count, **changes)


@cache
def part_of(make, topology="serpentine", count=8) -> Part:
    return make(layout_of(topology, count))


def read_stl(part: Part) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(stl_bytes(part)), file_type="stl")


def loops_at(part: Part, height: float) -> list[Polygon]:
    """Closed loops (mm) of the section through the written STL at `height` (m)."""
    section = read_stl(part).section(plane_origin=(0, 0, height * 1e3), plane_normal=(0, 0, 1))
    return [Polygon(loop[:, :2]) for loop in section.discrete]


def diameter_of(loop: Polygon) -> float:
    return 2 * (loop.area / pi) ** 0.5


def center_of(loop: Polygon) -> complex:
    return complex(loop.centroid.x, loop.centroid.y)
