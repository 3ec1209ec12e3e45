"""The field that scan and local optimisation share, against magpylib's sums over all magnets."""

from dataclasses import replace
from math import pi
from pathlib import Path

import brute_force
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.machine.filaments import filaments_document
from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet
from optimizer.brief.brief import Brief, StockMagnet, read_brief
from optimizer.field.steel import images_share
from optimizer.numerics.quadrature import gauss
from optimizer.scan.field_tables import tables_of

LANTERN = read_brief(Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml")
KIND = {"thickness": 0.004, "remanence": 1.3}
MAGNETS: dict[str, Magnet] = {
    "disc": DiscMagnet(diameter=0.015, **KIND),
    "ring": RingMagnet(diameter=0.018, bore=0.007, **KIND),
    "block": BlockMagnet(length=0.02, width=0.012, **KIND),
    "arc": ArcMagnet(inner_radius=0.03, outer_radius=0.05, angle_deg=30, **KIND),
}
DROPPED = 0.02  # share of the largest field: orders with 1e-4 of the mean square are left out


@pytest.mark.parametrize("arrangement", ["single", "facing"])
@pytest.mark.parametrize("shape", MAGNETS)
def test_the_table_is_magpylibs_sum(shape: str, arrangement: str) -> None:
    magnet, count, height = MAGNETS[shape], 10, 3.1e-3
    pitch = magnet.placed(0.0402)
    stock = (StockMagnet(magnet=magnet, quantity=None),)
    brief: Brief = replace(LANTERN, magnets=stock, arrangement=arrangement)
    table = tables_of(brief).of(magnet, count)
    harmonics = table.means(np.array([pitch]), np.array([height]))[0]

    layout = lantern_layout(
        "wedge", magnet=magnet, count=count, pitch_radius=pitch, height=height, turns=1, inner_radius=0.024,
        arrangement=arrangement,
    )  # fmt: skip
    assert layout.air_gap == brief.air_gap
    document = filaments_document(layout, images_share(layout))
    levels, weights = gauss(5)
    largest = 0.0
    errors: list[float] = []
    for at in (len(table.radii) // 4, len(table.radii) // 2, 3 * len(table.radii) // 4):
        angles = (np.arange(9) + 0.3) * 2 * pi / count / 9
        points = table.radii[at] * np.exp(1j * angles)
        brute = sum(
            weight * brute_force.axial_field(document, 0.0, points, np.full(9, brief.air_gap + level * height))
            for level, weight in zip(levels, weights, strict=True)
        )
        ours = harmonics[:, at] @ np.cos(np.outer(table.orders * (count // 2), angles))
        largest = max(largest, float(np.abs(brute).max()))
        errors += np.abs(ours - brute).tolist()
    assert largest > 0.02
    assert max(errors) < DROPPED * largest


def test_another_height_and_pitch_radius_are_within_the_same_table() -> None:
    magnet = MAGNETS["disc"]
    table = tables_of(LANTERN).of(magnet, 10)
    heights, pitches = np.array([0.4e-3, 1.7e-3, 4.9e-3]), np.array([0.0311, 0.0377, 0.0432])
    each = np.stack([table.means(pitches[i : i + 1], heights[i : i + 1])[0] for i in range(3)])
    assert np.allclose(table.means(pitches, heights), each, rtol=0, atol=1e-12)
    assert (np.abs(each[:, 0]).max(axis=1) > np.abs(each[:, 1]).max(axis=1)).all()  # the fundamental leads
