"""The bound of all windings beside outside values, and beside many windings.

Known maxima of ∫ ψ B over ψ that is 0 on a figure's edge, B = 1: with ∫ |∇ψ| ≤ 1 it is 1/h, h the least quotient of
perimeter and area of a figure within it (square 2 + √π and rectangle by Kawohl, Lachand-Robert, Pacific J. Math. 225
(2006) 103, annulus by Krejčiřík, Pratelli (2011), both cited from memory); with |∇ψ| ≤ 1 it is the mean distance from
the edge times the area; with ∫ |∇ψ|² ≤ 1 it is √T, T the torsion integral (Saint-Venant; Timoshenko, Goodier). With
B = 1 − r² on the unit disc and the first limit the best figure is the circle r = √(2/3).
"""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from briefs import SMALL_BRIEF
from crowd import shares_of_bounds
from layouts import lantern_layout
from scipy import sparse
from scipy.interpolate import CubicSpline
from scipy.sparse.linalg import spsolve
from searches import searched

from optimizer.bounds import stream_program
from optimizer.bounds.any_winding import Surroundings, even_field, radii_of, winding_bound, wire_for_turns
from optimizer.bounds.patch import Patch, samples
from optimizer.bounds.proof import Kind, prove
from optimizer.bounds.stream_program import SUMMED, best_stream, certify
from optimizer.brief.brief import brief_from_text
from optimizer.documents.result_document import contract
from optimizer.evaluation.copper import matched_power, wire_length
from optimizer.field.emf import machine_emf
from optimizer.words.result_tables import bound_words, proof_words

CELLS = (16, 12)
CORNER = frozenset({"low", "start"})  # a quarter of what mirrors itself about both axes
AROUND = frozenset({"start", "end"})  # a quarter of a disc or an annulus
SQUARE = Patch(low=0, high=0.5, width=0.5, polar=False, cells=CELLS, free=CORNER)
RECTANGLE = Patch(low=0, high=1, width=0.5, polar=False, cells=CELLS, free=CORNER)
DISC = Patch(low=1e-3, high=1, width=pi / 2, polar=True, cells=CELLS, free=AROUND | {"low"})
ANNULUS = Patch(low=0.5, high=1, width=pi / 2, polar=True, cells=CELLS, free=AROUND)


def straight(u, v):
    return -u / 2, -v / 2


def outward(through=0.0):
    """Radial, with a part that has no source."""
    return lambda u, v: (through / u - u / 2, 0 * v)


def falling(u, v):
    return u**3 / 4 - u / 2, 0 * v


LENGTHS = [  # figure, flux, 1/h
    (SQUARE, straight, 1 / (2 + sqrt(pi))),
    (RECTANGLE, straight, 1 / 2.8493689),
    (DISC, outward(), 1 / 2),
    (ANNULUS, outward(0.25), (1 - 0.5) / 2),
    (DISC, falling, 0.2721655),
]
DENSITIES = [
    (SQUARE, straight, 1 / 6),
    (RECTANGLE, straight, (3 * 2 - 1) / 12),
    (DISC, outward(), pi / 3),
    (ANNULUS, outward(0.75**2 / 2), 0.2945243),
]
TORSIONS = [
    (SQUARE, straight, 0.0351443),
    (RECTANGLE, straight, 0.1143408),
    (DISC, outward(), pi / 8),
    (ANNULUS, outward(-(0.75 / np.log(0.5)) / 4), 0.0494738),
]


@pytest.mark.parametrize(("patch", "flux", "known"), DENSITIES)
def test_only_the_density_is_limited(patch, flux, known):
    plenty = 100.0
    assert 4 * certify(patch, flux, plenty).value == pytest.approx(known, rel=5e-4)
    assert 4 * certify(patch, flux, plenty).value >= known * (1 - 1e-5)
    assert known * 0.99 < 4 * best_stream(patch, flux, plenty).linked <= known * (1 + 1e-5)


@pytest.mark.parametrize(("patch", "flux", "known"), LENGTHS)
def test_hardly_any_wire(patch, flux, known):
    """With little wire its density limits nothing any more, and ∫ ψ B goes to length/h from below."""
    little = 0.02
    bound, stream = certify(patch, flux, little / 4).value, best_stream(patch, flux, little / 4).linked
    assert 4 * bound / little == pytest.approx(known, rel=0.015)
    assert 4 * stream / little <= known * (1 + 1e-5)
    assert 0.93 * bound < stream <= bound * (1 + 1e-5)


@pytest.mark.parametrize(("patch", "flux", "known"), TORSIONS)
def test_the_fluxes_reach_the_least_energy(patch, flux, known):
    """The same fluxes q₀ + curl w, under the third limit: there the least ∫ |q|² is T."""
    at, kept = samples(patch, SUMMED, 2), patch.inside(2, patch.free)
    root = np.sqrt(at.area)
    start = (np.stack(flux(at.u, at.v)) * root).ravel()
    turned = sparse.diags(np.tile(root, 2)) @ sparse.vstack([at.along_v[:, kept], -at.along_u[:, kept]]).tocsc()
    rest = start - turned @ spsolve(turned.T @ turned, turned.T @ start)
    assert 4 * float(rest @ rest) == pytest.approx(known, rel=2e-3)


@pytest.mark.parametrize("phases", [1, 3])
def test_a_winding_comes_near_the_bound(phases):
    layout = lantern_layout("wedge", phases=phases, coils=None if phases == 1 else 6)
    around = Surroundings(layout, 40.0)
    bound = around.fundamental.value
    patch = around.patch(1, CELLS)
    assert 0.95 * bound < best_stream(patch, around.known(1), around.length_of(1)).linked < bound


@pytest.mark.slow
def test_no_winding_exceeds_its_bound():
    shares = shares_of_bounds(5, seed=7)
    assert len(shares) > 100
    assert max(shares) < 1.0
    assert max(shares) > 0.85  # or it would say little


@pytest.mark.search
def test_a_search_says_how_near_it_came():
    result = searched(brief_from_text(SMALL_BRIEF, "small"))
    document = contract(result, 0.0)["bound"]
    assert set(document) == {"emf_rms_V", "share", "grid_error"}
    assert document["share"] == pytest.approx(result.best.figures.emf_rms_V / document["emf_rms_V"], rel=1e-3)
    assert 0.5 < document["share"] < 1
    assert 0 <= document["grid_error"] < 0.05
    assert f"{result.bound.emf_rms_V:.3g}" in bound_words(result.bound).replace("\u00a0", " ")


FEW = SMALL_BRIEF.replace("quantity = 8", "quantity = 4").replace("[0.25, 0.315]", "[0.25]").replace("= 80", "= 60")


@pytest.mark.search
def test_a_brief_is_proven():
    """No layout of the search exceeds the certificate; past the magnets it names, the bound itself comes near it."""
    brief = brief_from_text(FEW, "few")
    result, proof = searched(brief), prove(brief, near=0.03)
    entries = (*result.by_magnet_count, *result.by_topology)
    assert max(entry.figures.emf_rms_V for entry in entries) < proof.value
    assert result.best.figures.emf_rms_V > 0.7 * proof.value
    kind = Kind(brief, proof.magnet, proof.count, proof.phases, proof.wire, wire_for_turns(brief, proof.wire, 1, 1))
    near = Surroundings(kind.layout(proof.pitch_radius, proof.height), kind.length).emf_rms()
    assert 0.96 * proof.value < near <= proof.value
    assert proof_words(proof, result.best.figures).startswith("Proven")


POWER = FEW.replace("quantity = 4", "quantity = 8") + '[goal]\nmaximise = "power"\n'


@pytest.mark.search
def test_watts_have_their_own_bound():
    """The winner's is the greatest of what the volts' bound comes to over all lengths of wire, and hardly more."""
    brief = brief_from_text(POWER, "watts")
    result = searched(brief)
    layout, bound = result.best.layout, result.bound
    at_hand = wire_for_turns(brief, layout.winding.wire, 1, 1)
    watts = [
        matched_power(Surroundings(layout, length).emf_rms(), length * layout.winding.wire.resistance_per_metre)
        for length in np.geomspace(0.2, 1, 15) * at_hand
    ]
    assert max(watts) <= bound.matched_power_W < 1.015 * max(watts)
    assert bound.share == pytest.approx(result.best.figures.matched_power_W / bound.matched_power_W)
    assert 0.6 < bound.share < 1
    assert all(entry.figures.matched_power_W < bound.matched_power_W for entry in result.by_topology)
    assert f"{bound.matched_power_W:.3g}" in bound_words(bound)
    assert contract(result, 0.0)["bound"]["matched_power_W"] == pytest.approx(bound.matched_power_W, rel=1e-3)


def one_by_one(layout):
    """Machines whose one winding fills the lower, the middle and the upper third of a machine's winding."""
    third = layout.stack_height / 3
    for layer in range(3):
        winding = replace(layout.winding, phases=1, height=third)
        yield replace(layout, winding=winding, air_gap=layout.air_gap + layer * third)


def test_layers_of_phases_are_bounded_one_by_one():
    """Where phases lie in layers, their watts may differ: none of them, nor all, exceeds what `apart_rms` says."""
    layout = lantern_layout("serpentine", phases=3)
    emf, layers = machine_emf(layout), even_field(layout, 3)
    thirds = [
        CubicSpline(radii_of(layer), even_field(layer)[:3], axis=1)(radii_of(layout)) for layer in one_by_one(layout)
    ]
    assert layers[:3] == pytest.approx(np.sqrt(np.mean(np.square(thirds), axis=0)), rel=1e-3, abs=1e-3 * layers.max())
    around = Surroundings(layout, wire_length(layout), field=layers)
    assert np.sqrt(np.mean([wave.rms**2 for wave in emf.phases])) < around.apart_rms()
    assert around.emf_rms() <= around.apart_rms() <= around.rough_rms() <= around.plain_rms()


def test_without_a_solver_the_bound_is_larger_and_holds(monkeypatch):
    layout = lantern_layout("wedge")
    sharp = winding_bound(machine_emf(layout), 60.0)
    monkeypatch.setattr(stream_program, "solve_cones", lambda *program: None)
    blunt = winding_bound(machine_emf(layout), 60.0)
    assert sharp.emf_rms_V < blunt.emf_rms_V < 3 * sharp.emf_rms_V
    assert blunt.grid_error == pytest.approx(1 - blunt.share)


@pytest.mark.parametrize(("room", "wire"), [(1.2, 1.0), (1.0, 0.8), (0.7, 1.3)])
def test_a_bound_holds_for_other_amounts_too(room, wire):
    """What one program's fluxes and prices say of another height and length is a bound there, hardly above its own."""
    layout = lantern_layout("wedge")
    taller = replace(layout, winding=replace(layout.winding, fill_factor=room * layout.winding.fill_factor))
    field = even_field(layout)
    own = Surroundings(taller, wire * 50.0, field=field).emf_rms()
    carried = Surroundings(layout, 50.0, field=field).emf_rms(room, wire)
    assert own * (1 - 1e-6) < carried < 1.1 * own
