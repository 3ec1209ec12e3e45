"""Random layouts within a brief: an audit of the search that shares neither its grid nor its climb."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from geometry.fit.rules import SLACK, carrier_clearances, winding_clearances
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.scan.choices import (
    Dimensions,
    Family,
    families_of,
    family_of,
    layout_of,
    magnet_counts,
    pitch_limits,
)
from optimizer.scan.wiring import bundle_of, turns_allowed
from optimizer.search.neighbours import fits_brief
from optimizer.search.turn_emf import TurnEmf


def families(brief: Brief) -> Iterator[Family]:
    """Every magnet of the stock with every count, coil shape, number of phases and number of coils of the brief."""
    for stock in brief.magnets:
        for count in magnet_counts(brief, stock):
            yield from families_of(brief, stock.magnet, count)


def random_best(brief: Brief, draws: int, seed: int) -> tuple[float, int, Layout | None]:
    """Goal's value of the best of `draws` random layouts, how many fitted, and that best layout.

    Everything is drawn: magnet, count, coil shape, wire, pitch radius, radii, bundle. Turns are the most allowed.
    """
    rng = np.random.default_rng(seed)
    choices = list(families(brief))
    goal, best, fitted, winner = GOALS[brief.goal], 0.0, 0, None
    per_family = rng.multinomial(draws, [1 / len(choices)] * len(choices))
    for family, count in zip(choices, per_family, strict=True):
        rows = _rows(brief, family.magnet, rng, int(count))
        emf = TurnEmf(brief, family)
        envelope = emf.envelope(rows[:, 1], rows[:, 2], rows[:, 3])
        clearances = [
            *carrier_clearances(brief.space, family.magnet, family.count, rows[:, 0]).values(),
            *winding_clearances(brief.space, family.topology, envelope).values(),
        ]
        fits = np.all(np.broadcast_arrays(*(clearance >= -SLACK for clearance in clearances)), axis=0)
        rows = rows[fits]
        wires = rng.integers(len(brief.wires), size=len(rows))
        for row, index in zip(rows, wires, strict=True):
            wire = brief.wires[index]
            bundle = bundle_of(family, emf.envelope(*row[1:4]), row[4])
            turns, length = float(turns_allowed(brief, wire, bundle)), float(bundle.turn)
            if turns < 1:
                continue
            fitted += 1
            value = float(
                goal.from_square(
                    emf.mean_squares(row[None])[0] * goal.merit(turns, length, wire, family.phases)
                )
            )
            if value > best:
                best, winner = value, layout_of(brief, family, Dimensions(*row.tolist()), int(turns), wire)
    if winner is not None:
        best = goal.value(evaluate(winner))
    return best, fitted, winner


def _rows(brief: Brief, magnet, rng: np.random.Generator, count: int) -> np.ndarray:
    low, high = pitch_limits(brief, magnet)
    space = brief.space
    radii = np.sort(rng.uniform(space.bore_radius, space.outer_radius, (count, 2)), axis=1)
    thinnest = brief.least_layers * min(wire.overall_diameter for wire in brief.wires)
    widest = (space.outer_radius - space.bore_radius) / 2
    width = np.exp(rng.uniform(np.log(thinnest), np.log(widest), count))
    height = brief.coil_height * np.exp(rng.uniform(np.log(min(thinnest / brief.coil_height, 1.0)), 0, count))
    return np.column_stack((rng.uniform(low, high, count), radii, width, height))


def varied(brief: Brief, **changes: object) -> Brief:
    """The brief with changes to its own fields, or to those of its space."""
    space = {k: v for k, v in changes.items() if k in ("outer_diameter", "bore_diameter", "wall")}
    own = {k: v for k, v in changes.items() if k not in space}
    return replace(brief, space=replace(brief.space, **space), **own)  # type: ignore[arg-type]


def random_near(brief: Brief, winner: Layout, draws: int, seed: int) -> tuple[float, int]:
    """Goal's value of the best of `draws` random layouts within some percent of the winner, and how many fitted."""
    rng = np.random.default_rng(seed)
    family = family_of(winner)
    emf, winding = TurnEmf(brief, family), winner.winding
    sizes = (
        winner.carrier.pitch_radius,
        winding.inner_radius,
        winding.outer_radius,
        winding.width,
        winding.height,
    )
    spread = np.exp(rng.normal(0, 0.02, (draws, 1)) ** 2)  # near ones as well as far ones
    rows = np.array(sizes) * np.exp(rng.normal(0, 0.03, (draws, 5)) * (spread - 0.9))
    goal, best, fitted = GOALS[brief.goal], 0.0, 0
    for row in rows:
        if not row[1] < row[2]:
            continue
        bundle = bundle_of(family, emf.envelope(*row[1:4]), row[4])
        turns = int(turns_allowed(brief, winding.wire, bundle))
        if turns < 1:
            continue
        layout = layout_of(brief, family, Dimensions(*row.tolist()), turns, winding.wire)
        if fits_brief(brief, layout):
            fitted += 1
            best = max(best, goal.value(evaluate(layout)))
    return best, fitted
