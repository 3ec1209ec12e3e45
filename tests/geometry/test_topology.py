"""Half turns and turns of the coil shapes, on random envelopes that fit."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from geometry.coils.bundle import Envelope
from geometry.coils.topology import RACETRACK, ROUND, SERPENTINE, TOPOLOGIES, WEDGE, Topology, sector_axes
from geometry.curves.curve import Arc, Curve, Line, curve_length, polyline

SHAPES = st.sampled_from(list(TOPOLOGIES.values()))
LEGGED = st.sampled_from([SERPENTINE, WEDGE])


@st.composite
def envelopes(draw: st.DrawFn, topology: Topology) -> Envelope:
    """Any envelope in which the shape fits."""
    inner = draw(st.floats(0.01, 0.06))
    envelope = Envelope(
        inner_radius=inner,
        outer_radius=inner + draw(st.floats(0.01, 0.05)),
        width=draw(st.floats(5e-4, 8e-3)),
        sectors=2 * draw(st.integers(1, 8)),
        peg_radius=draw(st.floats(2e-4, 3e-3)),
    )
    assume(all(clearance > 0 for clearance in topology.clearance(envelope).values()))
    return envelope


@st.composite
def bundles(
    draw: st.DrawFn, shapes: st.SearchStrategy[Topology] = SHAPES
) -> tuple[Topology, Envelope, float]:
    """A shape, its envelope, and the offset of one turn."""
    topology = draw(shapes)
    envelope = draw(envelopes(topology))
    return topology, envelope, draw(st.floats(-0.5, 0.5)) * float(envelope.width)


def gaps(curve: Curve, closed: bool) -> tuple[np.ndarray, np.ndarray]:
    """Distances in m between the ends of neighbouring stretches, and the angles in rad that the curve turns there."""
    nexts = (*curve[1:], curve[0]) if closed else curve[1:]
    pairs = list(zip(curve, nexts, strict=False))
    jumps = np.array([complex(b.at(0.0) - a.at(1.0)) for a, b in pairs])
    bends = np.array([complex(b.tangent(0.0) / a.tangent(1.0)) for a, b in pairs])
    return np.abs(jumps), np.abs(np.angle(bends))


@given(bundle=bundles())
@settings(deadline=None)
def test_turns_are_smooth_and_closed(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, offset = bundle
    for curve, closed in (
        (topology.half_turn(envelope, offset), False),
        (topology.turn(envelope, offset), True),
    ):
        solid = tuple(stretch for stretch in curve if float(stretch.length) > 1e-9)
        jumps, bends = gaps(solid, closed)
        assert np.all(jumps < 1e-9)
        assert np.all(bends < 1e-6)


@given(bundle=bundles())
@settings(deadline=None)
def test_no_bend_is_tighter_than_the_peg(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, offset = bundle
    arcs = [s for s in topology.turn(envelope, offset) if isinstance(s, Arc) and float(s.length) > 1e-12]
    assert min(float(np.asarray(arc.radius)) for arc in arcs) >= envelope.peg_radius - 1e-12
    innermost = topology.turn(envelope, -float(envelope.width) / 2)
    if topology.corners:  # the innermost turn lies on the peg itself
        bends = [float(np.asarray(s.radius)) for s in innermost if isinstance(s, Arc) and not s.about_shaft]
        assert min(bends) == pytest.approx(envelope.peg_radius)


@given(bundle=bundles())
@settings(deadline=None)
def test_turns_run_parallel(bundle: tuple[Topology, Envelope, float]):
    """Every point of a turn lies the offset beside the bundle's centre line, on the side away from the coil's axis."""
    topology, envelope, offset = bundle
    for middle, beside in zip(topology.turn(envelope, 0.0), topology.turn(envelope, offset), strict=True):
        start, tangent = middle.at(0.0), middle.tangent(0.0)
        if float(middle.length) < 1e-9 or float(beside.length) < 1e-9:
            continue
        aside = (complex(beside.at(0.0)) - complex(start)) / complex(tangent) * abs(complex(tangent))
        # turns run clockwise, so away from the axis is to the left of the way
        assert aside == pytest.approx(1j * offset, abs=1e-9)


@given(bundle=bundles())
@settings(deadline=None)
def test_turns_stay_in_the_envelope(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, _ = bundle
    half = float(envelope.width) / 2
    reached = [
        np.abs(polyline(topology.turn(envelope, side), step=1e-3, sagitta=1e-7)) for side in (half, -half)
    ]
    low, high = min(radii.min() for radii in reached), max(radii.max() for radii in reached)
    assert low == pytest.approx(float(np.asarray(envelope.inner_radius)), abs=3e-7)
    assert high == pytest.approx(float(np.asarray(envelope.outer_radius)), abs=3e-7)


@given(bundle=bundles())
@settings(deadline=None)
def test_length_in_closed_form_is_that_of_the_points(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, offset = bundle
    points = polyline(topology.turn(envelope, offset), step=1e-3, sagitta=1e-9)
    walked = topology.coils(envelope.sectors) * float(np.abs(np.roll(points, -1) - points).sum())
    # chords of 1e-9 m sagitta are shorter than their arcs by a millionth and less
    assert float(topology.turn_length(envelope, offset)) == pytest.approx(walked, rel=2e-5)


@given(bundle=bundles())
@settings(deadline=None)
def test_turns_run_clockwise(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, offset = bundle
    points = polyline(topology.turn(envelope, offset), step=1e-3, sagitta=1e-6)
    assert float(np.sum((points.conj() * np.roll(points, -1)).imag)) < 0


@given(bundle=bundles(LEGGED))
@settings(deadline=None)
def test_legs_are_straight_and_parallel_to_their_radial_line(bundle: tuple[Topology, Envelope, float]):
    topology, envelope, offset = bundle
    (leg,) = [stretch for stretch in topology.half_turn(envelope, offset) if isinstance(stretch, Line)]
    turned = complex(leg.tangent(0.5)) * np.exp(-1j * envelope.half_sector)
    assert abs(turned.imag) < 1e-9
    assert turned.real > 0


def test_a_serpentine_of_eight_by_hand():
    """Peg 1.5 mm, width 4 mm, radii 20 and 50 mm: bends of 3.5 mm about 25.5 and 44.5 mm, arcs at 22 and 48 mm."""
    envelope = Envelope(inner_radius=0.02, outer_radius=0.05, width=0.004, sectors=8, peg_radius=0.0015)
    half = SERPENTINE.half_turn(envelope, 0.0)
    leans = np.arcsin(3.5 / np.array([25.5, 44.5]))
    arcs = 22 * (pi / 8 - leans[0]) + 48 * (pi / 8 - leans[1])
    leg = 44.5 * np.cos(leans[1]) - 25.5 * np.cos(leans[0])
    bends = [abs(float(np.asarray(s.sweep))) for s in half if isinstance(s, Arc) and not s.about_shaft]
    assert bends == pytest.approx([pi / 2 - leans[0], pi / 2 + leans[1]])
    length = arcs + 3.5 * sum(bends) + leg
    assert float(curve_length(half)) * 1e3 == pytest.approx(length)
    assert float(SERPENTINE.turn_length(envelope)) * 1e3 == pytest.approx(8 * length)


def test_a_round_coil_by_hand():
    envelope = Envelope(inner_radius=0.03, outer_radius=0.05, width=0.004, sectors=8, peg_radius=0.0015)
    assert float(ROUND.turn_length(envelope)) == pytest.approx(8 * 2 * pi * 0.008)
    assert ROUND.turn_length(envelope, np.array([-0.002, 0.002])) == pytest.approx(
        16 * pi * np.array([0.006, 0.01])
    )


def test_a_racetrack_by_hand():
    """Eight between 20 and 50 mm: an end of radius ρ touches the sector's edge where ρ = (20 + ρ) sin 22.5°."""
    envelope = Envelope(inner_radius=0.02, outer_radius=0.05, width=0.004, sectors=8, peg_radius=0.0015)
    edge = 20 * np.sin(pi / 8) / (1 - np.sin(pi / 8))
    assert edge == pytest.approx(12.398, abs=1e-3)
    sides = 2 * (30 - 2 * edge)
    for offset in (-2, 0, 1):
        turn = sides + 2 * pi * (edge - 2 + offset)
        assert float(RACETRACK.turn_length(envelope, offset * 1e-3)) * 1e3 == pytest.approx(8 * turn)
    side = next(stretch for stretch in RACETRACK.half_turn(envelope, 0.0) if isinstance(stretch, Line))
    assert complex(side.tangent(0.5)).imag == 0
    assert {name: float(clearance) * 1e3 for name, clearance in RACETRACK.clearance(envelope).items()} == pytest.approx(
        {"leg": 30 - 2 * edge, "hole": edge - 5.5}
    )


def test_lengths_broadcast_over_envelopes():
    one = Envelope(inner_radius=0.02, outer_radius=0.05, width=0.004, sectors=8, peg_radius=0.0015)
    many = replace(one, outer_radius=np.array([0.045, 0.05]), width=np.array([[0.003], [0.004]]))
    for topology in TOPOLOGIES.values():
        lengths = topology.turn_length(many)
        assert lengths.shape == (2, 2)
        assert lengths[1, 1] == pytest.approx(float(topology.turn_length(one)))


def test_coils_and_half_turns():
    assert [(t.coils(8), t.half_turns(8)) for t in (SERPENTINE, WEDGE, ROUND, RACETRACK)] == [(1, 8)] + 3 * [(8, 16)]
    assert sector_axes(4) == pytest.approx([0, pi / 2, pi, 3 * pi / 2])
