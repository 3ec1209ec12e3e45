"""Random layouts within a brief: an audit of the search that shares neither its grid nor its climb."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from geometry.coils.bundle import Envelope
from geometry.fit.rules import SLACK, carrier_clearances, winding_clearances
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.scan.choices import Family, candidate_of, families_of, layout_of, magnet_counts, pitch_limits
from optimizer.search.neighbours import fits_brief
from optimizer.search.objective import Objective

LOOKED_AT = 60  # of the fitting layouts near a winner, those of most value evenly filled, as laid out


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
    best, fitted, winner = 0.0, 0, None
    per_family = rng.multinomial(draws, [1 / len(choices)] * len(choices))
    for family, count in zip(choices, per_family, strict=True):
        rows = _rows(brief, family.magnet, rng, int(count))
        clearances = [
            *carrier_clearances(brief.space, family.magnet, family.count, rows[:, 0]).values(),
            *winding_clearances(brief.space, family.topology, _envelope(brief, family, rows)).values(),
        ]
        fits = np.all(np.broadcast_arrays(*(clearance >= -SLACK for clearance in clearances)), axis=0)
        rows = rows[fits]
        wires = rng.integers(len(brief.wires), size=len(rows))
        for index, wire in enumerate(brief.wires):
            objective = Objective(brief, family, wire)
            wound = _wound(objective, rows[wires == index])
            fitted += len(wound)
            values = objective.values(wound) if len(wound) else np.zeros(1)
            if values.max() > best:
                best = float(values.max())
                winner = layout_of(brief, objective.candidate(wound[values.argmax()], best))
    if winner is not None:
        best = GOALS[brief.goal].value(evaluate(winner))
    return best, fitted, winner


def _wound(objective: Objective, rows: np.ndarray) -> np.ndarray:
    """The rows that leave place for a turn, with the most turns allowed."""
    rows = rows.copy()
    if len(rows):
        rows[:, -1] = objective.turns_allowed(rows)
    return rows[rows[:, -1] >= 1]


def _rows(brief: Brief, magnet, rng: np.random.Generator, count: int) -> np.ndarray:
    low, high = pitch_limits(brief, magnet)
    space = brief.space
    radii = np.sort(rng.uniform(space.bore_radius, space.outer_radius, (count, 2)), axis=1)
    thinnest = brief.least_layers * min(wire.overall_diameter for wire in brief.wires)
    widest = (space.outer_radius - space.bore_radius) / 2
    width = np.exp(rng.uniform(np.log(thinnest), np.log(widest), count))
    height = brief.coil_height * np.exp(rng.uniform(np.log(min(thinnest / brief.coil_height, 1.0)), 0, count))
    peg = brief.peg_radius * np.exp(0.4 * np.maximum(rng.normal(0, 1, count), 0))  # half of them the least
    return np.column_stack((rng.uniform(low, high, count), radii, width, height, peg, np.ones(count)))


def _envelope(brief: Brief, family: Family, rows: np.ndarray) -> Envelope:
    return Envelope(
        inner_radius=rows[:, 1], outer_radius=rows[:, 2], width=rows[:, 3], sectors=family.sectors,
        peg_radius=rows[:, 5],
    )  # fmt: skip


def varied(brief: Brief, **changes: object) -> Brief:
    """The brief with changes to its own fields, or to those of its space."""
    space = {k: v for k, v in changes.items() if k in ("outer_diameter", "bore_diameter", "wall")}
    own = {k: v for k, v in changes.items() if k not in space}
    return replace(brief, space=replace(brief.space, **space), **own)  # type: ignore[arg-type]


def random_near(brief: Brief, winner: Layout, draws: int, seed: int) -> tuple[float, int]:
    """Goal's value of the best of `draws` random layouts within some percent of the winner, and how many fitted."""
    rng = np.random.default_rng(seed)
    near = candidate_of(winner)
    objective = Objective(brief, near.family, near.wire)
    spread = np.exp(rng.normal(0, 0.02, (draws, 1)) ** 2)  # near ones as well as far ones
    rows = np.repeat(near.row[None], draws, axis=0)
    rows[:, :-1] *= np.exp(rng.normal(0, 0.03, (draws, 6)) * (spread - 0.9))
    rows[:, 5] = np.maximum(rows[:, 5], brief.peg_radius)
    rows = _wound(objective, rows[rows[:, 1] < rows[:, 2]])
    kept = [layout_of(brief, objective.candidate(row, 0.0)) for row in rows[np.argsort(-objective.values(rows))]]
    fitting = [layout for layout in kept if fits_brief(brief, layout)]
    return max((GOALS[brief.goal].worth(layout) for layout in fitting[:LOOKED_AT]), default=0.0), len(fitting)
