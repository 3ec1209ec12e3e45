"""Facing carriers, steel plates and coils on both sides: superposition, images listed one by one, symmetry."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import brute_force
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.coils.topology import TOPOLOGIES
from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout, magnet_stack
from geometry.stock.magnet import DiscMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import waveform
from optimizer.field.pole_harmonics import axial_field
from optimizer.field.steel import images_share

TOLERANCE = 5e-4  # the model promises 2e-3
DISC = DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.32)

MACHINES = {
    "facing": lantern_layout("wedge", turns=3, arrangement="facing"),
    "plate": lantern_layout("wedge", turns=3, plate=0.003),
    "plate, serpentine": lantern_layout("serpentine", turns=3, plate=0.003),
    "facing with plates": lantern_layout("round", turns=1, arrangement="facing", plate=0.003),
    "two-sided": lantern_layout("wedge", turns=2, arrangement="two-sided"),
    "thin plate": lantern_layout("wedge", turns=3, plate=0.0005),
    "facing with thin plates": lantern_layout("round", turns=1, arrangement="facing", plate=0.001),
    "facing, three phases": lantern_layout(
        "serpentine", turns=2, arrangement="facing", phases=3, height=0.002, stacking="layered"
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
def test_brute_force_over_every_listed_magnet_and_image(name: str) -> None:
    layout = MACHINES[name]
    electrical = (np.arange(10) + 0.5) * pi / 10
    document = filaments_document(layout, images_share(layout))
    brute = brute_force.emf(document, electrical / layout.carrier.pole_pairs)
    ours = waveform(layout)
    rms = float(np.sqrt(np.mean(brute**2)))
    assert ours.rms == pytest.approx(rms, rel=TOLERANCE)
    assert np.sqrt(np.mean((ours.at(electrical) - brute) ** 2)) < TOLERANCE * rms


def test_a_listed_image_is_the_magnet_seen_in_the_plate() -> None:
    """The plate's face is z = −thickness; the image has the same polarity and lies as far behind it."""
    rows = filaments_document(MACHINES["plate"])["magnets"]
    assert len(rows) == 2 * 8
    own, image = rows[:8], rows[8:]
    for magnet, mirrored in zip(own, image, strict=True):
        assert magnet["center_mm"][:2] == mirrored["center_mm"][:2]
        assert magnet["polarity"] == mirrored["polarity"]
        assert (magnet["center_mm"][2] + mirrored["center_mm"][2]) / 2 == pytest.approx(-4.0)


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_facing_carriers_without_steel_are_the_sum_of_two(topology: str) -> None:
    """A winding alike from above and below sees the second carrier as the first: exactly twice the EMF."""
    one, two = (
        waveform(lantern_layout(topology, arrangement=arrangement)) for arrangement in ("single", "facing")
    )
    # turns stand in rows, 0.02 mm off the middle at most
    assert two.rms == pytest.approx(2 * one.rms, rel=0.02)
    np.testing.assert_allclose(field_between(0.5), field_between(0.5, of="lower") * 2, rtol=1e-12)


def field_between(share: float, of: str = "both") -> np.ndarray:
    """B_z over a facing pair at a share of the clear distance, of both discs or the lower one alone."""
    middles = magnet_stack(DISC, "facing", images=0.0, clear=0.008, reach=0.1)
    lower = magnet_stack(DISC, "single", images=0.0, clear=0.008, reach=0.1)
    stack = middles if of == "both" else lower
    return np.asarray(axial_field(DISC, np.linspace(0, 0.03, 20), share * 0.008, stack))


def test_the_field_between_facing_carriers_is_alike_from_either_side() -> None:
    np.testing.assert_allclose(field_between(0.2), field_between(0.8), rtol=1e-12)
    assert np.all(field_between(0.2)[:5] > 0)  # unlike poles face each other: both push the same way


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_two_sides_give_twice_one(topology: str) -> None:
    one, two = (evaluate(lantern_layout(topology, arrangement=kind)) for kind in ("single", "two-sided"))
    assert two.emf_rms_V == pytest.approx(2 * one.emf_rms_V, rel=1e-8)
    assert two.emf_thd == pytest.approx(one.emf_thd, rel=1e-8)
    assert two.resistance_ohm == pytest.approx(2 * one.resistance_ohm, rel=1e-8)
    assert two.wire_length_m == pytest.approx(2 * one.wire_length_m, rel=1e-8)
    assert two.layout.coils == 2 * one.layout.coils
    assert two.magnet_mass_g == one.magnet_mass_g


def facing_with_plates() -> Layout:
    """Twelve discs 20 × 5 mm on 40 mm on either carrier, steel behind both, 10 mm between the faces."""
    return lantern_layout(
        "serpentine", magnet=DISC, count=12, arrangement="facing", plate=0.006, height=0.007, width=0.002,
        peg_radius=0.001, inner_radius=0.027, outer_radius=0.053, turns=1,
    )  # fmt: skip


def rms_with(layout: Layout, middles: tuple[float, ...]) -> float:
    """EMF by brute force, but with magnets and images at these middles only."""
    document = filaments_document(layout)
    rows = [row | {"center_mm": [*row["center_mm"][:2], 1e3 * middle]} for middle in middles
            for row in document["magnets"][: layout.carrier.count]]  # fmt: skip
    document["phases"] = [[turns[len(turns) // 2]] for turns in document["phases"]]
    angles = (np.arange(4) + 0.5) * pi / 4 / layout.carrier.pole_pairs
    return float(np.sqrt(np.mean(brute_force.emf(document | {"magnets": rows}, angles) ** 2)))


@pytest.mark.slow
def test_own_plate_images_alone_are_too_low_between_facing_carriers() -> None:
    layout = facing_with_plates()
    thickness, clear = DISC.thickness, layout.clear
    assert clear == pytest.approx(0.010)
    own = (-thickness / 2, -1.5 * thickness, clear + thickness / 2, clear + 1.5 * thickness)
    every = rms_with(layout, layout.stack(1.0).middles)
    # the project's brief states 3.5 % for a case whose distance it does not give; at 7 mm it is 5.7 %, at 12 mm 2.7 %
    assert rms_with(layout, own) / every - 1 == pytest.approx(-0.035, abs=0.003)
    # the series is long enough
    longer = magnet_stack(DISC, "facing", images=1.0, clear=clear, reach=0.2).middles
    assert len(longer) > len(layout.stack(1.0).middles)
    assert rms_with(layout, longer) == pytest.approx(every, rel=3e-4)


def test_images_in_both_plates_mirror_into_each_other() -> None:
    """Both plate faces are mirrors of the whole series, as far as it goes."""
    stack = facing_with_plates().stack(1.0)
    middles = np.array(stack.middles) * 1e3
    for face in (-5.0, 15.0):
        mirrored = 2 * face - middles
        inside = mirrored[(mirrored > middles.min() - 1e-6) & (mirrored < middles.max() + 1e-6)]
        gaps = np.abs(inside[:, None] - middles).min(axis=1)
        assert gaps.max() < 1e-6


def test_what_steel_and_a_second_carrier_bring() -> None:
    """More steel and magnets never give less, and plates cannot do more than an endless column of magnets would."""
    single = lantern_layout("wedge")
    carrier = single.carrier
    alone, plate, facing, both = (
        waveform(replace(single, carrier=replace(carrier, arrangement=kind, plate=steel))).rms
        for kind, steel in (("single", 0.0), ("single", 0.003), ("facing", 0.0), ("facing", 0.003))
    )
    assert alone < plate < 2 * alone
    assert plate < facing < both < 2 * 2 * alone


def test_plates_and_two_sides_do_not_go_together() -> None:
    with pytest.raises(
        ValueError, match=r"plate must be 0 with a coil on each side of the carrier, was 0\.003"
    ):
        lantern_layout(arrangement="two-sided", plate=0.003)
    with pytest.raises(ValueError, match="arrangement must be one of single, facing, two-sided, was stacked"):
        lantern_layout(arrangement="stacked")
