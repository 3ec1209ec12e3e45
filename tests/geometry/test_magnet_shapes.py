"""Rings, blocks and arcs: demagnetizing factors against numerical means, faces, files, pockets."""

from __future__ import annotations

from typing import Any

import magpylib as magpy
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from layouts import lantern_layout
from shapely import Point, Polygon

from geometry.drawing.primitives import Path
from geometry.files.reading import FileFaults
from geometry.fit.judge import polygon_ring
from geometry.machine.filaments import filaments_document
from geometry.machine.layout_file import layout_from_text, layout_text
from geometry.parts.carrier import carrier_part
from geometry.parts.pockets import PrintOptions, pocket_area, pocket_edge
from geometry.stock.demagnetizing import (
    block_demagnetizing_factor,
    disc_demagnetizing_factor,
    ring_demagnetizing_factor,
)
from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import SHAPES, ArcMagnet, BlockMagnet
from optimizer.evaluation.chain import evaluate, figures_document

KIND: dict[str, Any] = {"thickness": 0.004, "remanence": 1.3}
MAGNETS: dict[str, Magnet] = {
    "disc": DiscMagnet(diameter=0.015, **KIND),
    "ring": RingMagnet(diameter=0.018, bore=0.007, **KIND),
    "block": BlockMagnet(length=0.02, width=0.012, **KIND),
    "arc": ArcMagnet(inner_radius=0.03, outer_radius=0.05, angle_deg=30, **KIND),
}
T, W = np.polynomial.legendre.leggauss(24)


def test_every_shape_is_looked_at() -> None:
    assert MAGNETS.keys() == SHAPES.keys()


# the mean of each magnet's own field over its volume, by magpylib's field at Gauss points


def mean_field(source: Any, points: np.ndarray, weights: np.ndarray) -> float:
    return float(np.asarray(source.getB(points))[:, 2] @ weights / weights.sum())


@pytest.mark.parametrize("sizes", [(20, 10, 4), (10, 10, 10), (5, 30, 8), (3, 4, 20)])
def test_block_factor(sizes: tuple[float, float, float]) -> None:
    x, y, z = np.meshgrid(*(T * size / 2 for size in sizes), indexing="ij")
    weights = np.einsum("i,j,k->ijk", W, W, W).ravel()
    block = magpy.magnet.Cuboid(polarization=(0, 0, 1), dimension=sizes)
    mean = mean_field(block, np.column_stack((x.ravel(), y.ravel(), z.ravel())), weights)
    assert block_demagnetizing_factor(*sizes) == pytest.approx(1 - mean, abs=1e-4)


def test_the_factors_of_a_block_add_up_to_one() -> None:
    a, b, c = 0.007, 0.011, 0.004
    total = sum(block_demagnetizing_factor(*sizes) for sizes in ((a, b, c), (b, c, a), (c, a, b)))
    assert total == pytest.approx(1, rel=1e-12)
    assert block_demagnetizing_factor(1, 1, 1) == pytest.approx(1 / 3, rel=1e-12)


@pytest.mark.parametrize("sizes", [(20, 8, 5), (20, 16, 5), (12, 5, 12)])
def test_ring_factor(sizes: tuple[float, float, float]) -> None:
    diameter, bore, thickness = sizes
    radius = (diameter + bore) / 4 + (diameter - bore) / 4 * T
    x, z = np.meshgrid(radius, T * thickness / 2, indexing="ij")
    weights = np.einsum("i,k->ik", W * radius, W).ravel()
    points = np.column_stack((x.ravel(), 0 * x.ravel(), z.ravel()))
    outer, inner = (
        magpy.magnet.Cylinder(polarization=(0, 0, 1), dimension=(size, thickness))
        for size in (diameter, bore)
    )
    mean = mean_field(outer, points, weights) - mean_field(inner, points, weights)
    assert ring_demagnetizing_factor(*sizes) == pytest.approx(1 - mean, abs=1e-4)


def test_a_ring_with_hardly_a_hole_is_a_disc() -> None:
    assert ring_demagnetizing_factor(20, 0.02, 5) == pytest.approx(disc_demagnetizing_factor(20, 5), abs=1e-5)


@pytest.mark.parametrize("sizes", [(25, 46, 18, 2), (30, 50, 30, 4), (20, 50, 50, 6)])
def test_arc_factor_is_close_to_its_blocks(sizes: tuple[float, float, float, float]) -> None:
    inner, outer, angle, thickness = sizes
    t, w = np.polynomial.legendre.leggauss(6)
    radius, turn = (inner + outer) / 2 + (outer - inner) / 2 * t, np.radians(angle / 2) * t
    r, phi, z = np.meshgrid(radius, turn, t * thickness / 2, indexing="ij")
    weights = np.einsum("i,j,k->ijk", w * radius, w, w).ravel()
    points = np.column_stack(((r * np.cos(phi)).ravel(), (r * np.sin(phi)).ravel(), z.ravel()))
    arc = magpy.magnet.CylinderSegment(
        polarization=(0, 0, 1), dimension=(inner, outer, thickness, -angle / 2, angle / 2)
    )
    magnet = ArcMagnet(
        inner_radius=inner, outer_radius=outer, angle_deg=angle, thickness=thickness, remanence=1.3
    )
    assert magnet.demagnetizing_factor == pytest.approx(1 - mean_field(arc, points, weights), abs=0.01)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_face_is_what_the_numbers_say(shape: str) -> None:
    magnet = MAGNETS[shape]
    face = Polygon(polygon_ring(magnet.outline(0.04)))
    hole = np.pi / 4 * 0.007**2 if shape == "ring" else 0.0
    assert face.area - hole == pytest.approx(magnet.area, rel=1e-4)
    assert magnet.volume == pytest.approx(magnet.area * 0.004)
    nearest, farthest = (float(edge) for edge in magnet.reach(0.04))
    assert face.distance(Point(0, 0)) == pytest.approx(nearest, abs=1e-6)
    assert face.hausdorff_distance(Point(0, 0)) == pytest.approx(farthest, abs=1e-6)
    low, high = magnet.pitch_limits(nearest, farthest)
    assert (low, high) == (pytest.approx(0.04), pytest.approx(0.04))
    if shape != "arc":
        clearance = float(magnet.beside(0.04, 6))
        assert magnet.closest_pitch_radius(6, clearance) == pytest.approx(0.04)


# files


def machine(magnet: Magnet) -> Any:
    return lantern_layout("wedge", magnet=magnet)


@pytest.mark.parametrize("shape", SHAPES)
def test_file_and_figures(shape: str) -> None:
    layout = machine(MAGNETS[shape])
    assert layout_from_text(layout_text(layout), "layout.toml") == layout
    figures = figures_document(evaluate(layout))["magnet"]
    assert list(figures)[:2] == ["shape", "diameter_mm"]
    assert (figures["diameter_mm"] is None) == (shape in ("block", "arc"))
    listed = filaments_document(layout)["magnets"][0]
    for key, size in MAGNETS[shape].sizes.items():
        assert figures[key] == listed[key] == pytest.approx(size)


LENGTH = st.floats(1e-3, 0.02)


@given(length=LENGTH, width=LENGTH, thickness=LENGTH)
def test_any_block_comes_back_from_its_file(length: float, width: float, thickness: float) -> None:
    layout = machine(BlockMagnet(length=length, width=width, thickness=thickness, remanence=1.3))
    assert layout_from_text(layout_text(layout), "layout.toml") == layout


@given(inner=st.floats(0.01, 0.035), outer=st.floats(0.036, 0.05), angle_deg=st.floats(1, 40))
def test_any_arc_comes_back_from_its_file(inner: float, outer: float, angle_deg: float) -> None:
    magnet = ArcMagnet(inner_radius=inner, outer_radius=outer, angle_deg=angle_deg, **KIND)
    layout = lantern_layout("wedge", magnet=magnet, pitch_radius=magnet.mid_radius)
    assert layout_from_text(layout_text(layout), "layout.toml") == layout


FAULTS = [
    ("block", "width_mm = 12", "", "carrier.magnet.width_mm: must be given, was missing"),
    ("block", "width_mm = 12", "width_mm = 12\ndiameter_mm = 15",
     'carrier.magnet.diameter_mm: must be left out for shape = "block" (its sizes: length_mm and width_mm), was 15'),
    ("ring", "bore_mm = 7", "bore_mm = 18", "carrier.magnet.bore_mm: must be less than diameter_mm (18), was 18"),
    ("arc", "outer_radius_mm = 50", "outer_radius_mm = 20",
     "carrier.magnet.outer_radius_mm: must be more than inner_radius_mm (30), was 20"),
    ("arc", "angle_deg = 30", "angle_deg = 300",
     "carrier.magnet.angle_deg: must be at most 179 (is it in degrees?), was 300"),
    ("arc", "pitch_radius_mm = 40", "pitch_radius_mm = 41",
     "carrier.pitch_radius_mm: must be midway between the arcs' radii (40), was 41"),
    ("disc", "diameter_mm = 15", "diamter_mm = 15",
     "carrier.magnet.diamter_mm: unknown key; did you mean diameter_mm?"),
]  # fmt: skip


@pytest.mark.parametrize(("shape", "old", "new", "message"), FAULTS)
def test_faults_of_a_shape(shape: str, old: str, new: str, message: str) -> None:
    text = layout_text(machine(MAGNETS[shape]))
    head, tail = text.split("[carrier]")
    assert old in tail
    with pytest.raises(FileFaults) as found:
        layout_from_text(head + "[carrier]" + tail.replace(old, new, 1), "layout.toml")
    assert [f"{fault.key}: {fault.message}" for fault in found.value.faults] == [message]


def test_arcs_stand_at_their_own_radii_only() -> None:
    with pytest.raises(
        ValueError, match=r"pitch_radius must be midway between the arcs' radii \(0.04\), was 0.041"
    ):
        lantern_layout("wedge", magnet=MAGNETS["arc"], pitch_radius=0.041)


# pockets


@pytest.mark.parametrize("shape", SHAPES)
def test_pockets_hold_the_magnet_with_clearance(shape: str) -> None:
    layout = machine(MAGNETS[shape])
    edge = pocket_edge(layout, 0.2e-3)
    face = Polygon(polygon_ring(layout.carrier.magnet.outline(0.04)))
    if isinstance(edge, Path):
        pocket = Polygon(polygon_ring(edge.curve))
        assert pocket.exterior.distance(face) == pytest.approx(0.1e-3, abs=1e-6)
        assert pocket.area == pytest.approx(pocket_area(layout, 0.2e-3), rel=1e-4)
    assert pocket_area(layout, 0.2e-3) == pytest.approx(face.buffer(0.1e-3, quad_segs=64).area, rel=1e-4)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_printed_carrier_has_the_stated_volume(shape: str) -> None:
    layout = lantern_layout("wedge", magnet=MAGNETS[shape], outer_diameter=0.12, wall=0.001)
    part = carrier_part(layout, PrintOptions())
    corners = part.mesh.corners_mm[part.mesh.triangles]
    volume = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6 * 1e-9
    assert volume == pytest.approx(part.volume, rel=2e-4)
