"""Inductance of a phase against brute force over its own filaments, and its scaling."""

from dataclasses import replace
from math import exp, pi

import numpy as np
import pytest
from layouts import lantern_layout
from scipy.special import ellipe, ellipk

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import polyline
from geometry.machine.filaments import phase_filaments
from optimizer.evaluation.inductance import MU0, inductances, neumann_inductance


def brute_force(layout):
    """Neumann's sum over short straight pieces, a piece's own part by the round wire's mean distance."""
    filaments = list(phase_filaments(layout))
    total = 0.0
    wire = layout.winding.wire.diameter / 2 * exp(-0.25)
    pieces = []
    for filament in filaments:
        corners = polyline(filament.curve, step=0.4e-3, sagitta=1e-6)
        steps = np.roll(corners, -1) - corners
        pieces.append((corners + steps / 2, steps, filament.height))
    for points, steps, height in pieces:
        for others, other_steps, other_height in pieces:
            apart = np.abs(points[:, None] - others) ** 2 + (height - other_height) ** 2
            same = others is points
            distance = np.sqrt(apart + (wire**2 if same else 0.0))
            product = (steps[:, None] * other_steps.conj()).real
            lengths = np.abs(other_steps)
            near = distance < 4 * lengths
            term = product / np.where(near, 1.0, distance)
            along = ((points[:, None] - others) * (other_steps / lengths).conj()).real
            square = np.maximum(distance**2 - along**2, 1e-20)
            closed = np.arcsinh((lengths / 2 - along) / np.sqrt(square)) + np.arcsinh(
                (lengths / 2 + along) / np.sqrt(square)
            )
            total += np.sum(np.where(near, product / lengths * closed, term))
    return MU0 / (4 * pi) * total


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_the_sum_over_all_turns_of_all_coils(topology):
    inner = {"inner_radius": 0.008} if topology == "racetrack" else {}
    layout = lantern_layout(topology, turns=2, width=0.002, height=0.002, **inner)
    layout = replace(layout, carrier=replace(layout.carrier, count=4))
    assert neumann_inductance(layout) == pytest.approx(brute_force(layout), rel=5e-3)


@pytest.mark.slow
def test_coils_on_both_sides_of_the_magnets():
    layout = lantern_layout("wedge", turns=2, width=0.002, height=0.002, arrangement="two-sided")
    layout = replace(layout, carrier=replace(layout.carrier, count=4))
    assert neumann_inductance(layout) == pytest.approx(brute_force(layout), rel=5e-3)


def test_one_phase_of_three():
    layout = lantern_layout("wedge", turns=2, width=0.002, height=0.002, phases=3, coils=9)
    assert neumann_inductance(layout) == pytest.approx(brute_force(layout), rel=5e-3)


def test_steel_behind_the_magnets_is_a_mirror():
    """One thin ring over a plate: the image adds Maxwell's mutual inductance at twice the height."""
    bare = lantern_layout("round", turns=1, width=0.0005, height=0.0005)
    plated = replace(bare, carrier=replace(bare.carrier, plate=0.003))
    radius, apart = (0.02 - 0.0005) / 2, 2 * (0.0015 + 0.00025 + 0.004)
    m = 4 * radius**2 / (4 * radius**2 + apart**2)
    ring = MU0 * radius * ((2 / m**0.5 - m**0.5) * ellipk(m) - 2 / m**0.5 * ellipe(m))
    gained = neumann_inductance(plated) - neumann_inductance(bare)
    assert 8 * ring < gained < 1.3 * 8 * ring  # the neighbours' images add a little
    between = replace(plated, carrier=replace(plated.carrier, arrangement="facing"))
    assert neumann_inductance(between) > neumann_inductance(plated)


def test_coils_apart_hardly_see_each_other_and_neighbours_add():
    found = inductances(lantern_layout("wedge"))
    assert 0.1 < found.mutual / found.coil < 0.3
    assert found.phase == pytest.approx(8 * (found.coil + found.mutual), rel=1e-12)
    assert 0 < inductances(lantern_layout("round")).mutual < 0.05 * inductances(lantern_layout("round")).coil


def test_a_machine_of_twice_the_size_has_twice_the_inductance():
    one = lantern_layout("wedge", turns=6)
    names = ("inner_radius", "outer_radius", "width", "height", "peg_radius")
    big = replace(one.winding, **{name: 2 * getattr(one.winding, name) for name in names})
    big = replace(big, wire=replace(big.wire, diameter=0.5e-3))
    two = replace(one, winding=big, air_gap=2 * one.air_gap)
    assert neumann_inductance(two) == pytest.approx(2 * neumann_inductance(one), rel=2e-3)


def test_a_coil_of_one_turn_and_a_coil_of_one_layer_work():
    for changes in (
        {"turns": 1},
        {"turns": 3, "width": 0.004, "height": 0.0003},
        {"turns": 3, "width": 0.0003},
    ):
        assert 0 < neumann_inductance(lantern_layout("wedge", **changes)) < 1e-4
