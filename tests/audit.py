"""An audit of a search: single moves, thousands of neighbours, and differential evolution over each family."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.optimize import differential_evolution

from geometry.fit.judge import overlaps
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.scan.choices import candidate_of, layout_of, pitch_limits
from optimizer.search.neighbours import fits_brief, single_moves
from optimizer.search.objective import TOLERANCE, Objective
from optimizer.search.result import Result

LOOKED_AT = 60  # of the evenly filled rivals, as laid out
GRID = np.array([1e-5, 1e-5, 1e-5, 1e-5, 1e-5, 5e-5])  # m, what a workshop can set
EVOLUTION = {
    "vectorized": True, "updating": "deferred", "maxiter": 150, "popsize": 12, "tol": 1e-7, "polish": False,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Audited:
    """One answer, and by what share of its value (0.002 for 0.2 %) each kind of rival beats it, below zero if none.

    of: what it is the best of.
    """

    of: str
    layout: Layout
    value: float
    single: float
    near: float
    evolved: float


def audited(result: Result, neighbours: int = 5000, *, evolve: bool = True, seed: int = 7) -> Iterator[Audited]:
    """The winner and every best by number of magnets and by coil shape, each layout once."""
    seen: set[Layout] = set()
    kinds = [("winner", result.best)]
    kinds += [(f"{entry.layout.carrier.count} magnets", entry) for entry in result.by_magnet_count]
    kinds += [(entry.layout.winding.topology, entry) for entry in result.by_topology]
    for of, entry in kinds:
        if entry.layout not in seen:
            seen.add(entry.layout)
            yield _audited(result.brief, of, entry.layout, neighbours, seed if evolve else None)


def _audited(brief: Brief, of: str, layout: Layout, neighbours: int, seed: int | None) -> Audited:
    value, rng = GOALS[brief.goal].worth(layout), np.random.default_rng(seed or 0)
    single = max((move.change for move in single_moves(brief, layout) if move.fits), default=-1.0)
    near = _best(brief, layout, _near(layout, neighbours, rng)) if neighbours else 0.0
    wires = () if seed is None else range(len(brief.wires))
    evolved = max((_best(brief, layout, _evolved(brief, layout, wire, seed or 0), wire) for wire in wires), default=0.0)
    return Audited(
        of=of, layout=layout, value=value, single=single, near=near / value - 1, evolved=evolved / value - 1
    )


def _near(layout: Layout, draws: int, rng: np.random.Generator) -> np.ndarray:
    """Rows of dimensions within some percent of a layout's, one, some or all of them moved."""
    rows = np.repeat(candidate_of(layout).row[None], draws, axis=0)
    moved = rng.random((draws, 6)) < rng.choice([0.3, 0.6, 1.0], (draws, 1))
    rows[:, :-1] *= np.exp(moved * rng.normal(0, 1, (draws, 6)) * rng.choice([1e-3, 5e-3, 0.03], (draws, 1)))
    return rows


def _evolved(brief: Brief, layout: Layout, wire: int, seed: int) -> np.ndarray:
    """Rows of the last generations of an evolution over the dimensions of a layout's family, with one wire."""
    objective = Objective(brief, candidate_of(layout).family, brief.wires[wire])
    space, family = brief.space, objective.family
    least = brief.least_layers * objective.wire.overall_diameter
    low, high = pitch_limits(brief, family.magnet)
    bounds = [
        (low, high), (space.bore_radius, space.outer_radius), (space.bore_radius, space.outer_radius),
        (least, max((space.outer_radius - space.bore_radius) / 2, least * 1.01)),
        (least * family.pieces, max(brief.coil_height / family.stacked, least * family.pieces * 1.001)),
        (brief.peg_radius, max(4 * brief.peg_radius, space.outer_radius / 4)),
    ]  # fmt: skip
    kept: list[np.ndarray] = []

    def loss(x: np.ndarray) -> np.ndarray:
        sizes = x.T.reshape(-1, 6)
        rows = np.column_stack((sizes, np.ones(len(sizes))))
        rows[rows[:, 1] >= rows[:, 2] - GRID[0], 2] = space.outer_radius
        rows[:, -1] = np.maximum(objective.turns_allowed(rows), 1)
        broken = np.maximum(-objective.clearances(rows), 0).sum(axis=1)
        kept.append(rows[broken <= TOLERANCE])
        return np.where(broken > TOLERANCE, 10 + broken, -np.log(np.maximum(objective.values(rows), 1e-12)))

    differential_evolution(loss, bounds, **EVOLUTION, seed=seed)
    return np.vstack(kept[-40:])


def _best(brief: Brief, layout: Layout, rows: np.ndarray, wire: int | None = None) -> float:
    """The best value, as laid out, of rows set to whole hundredths of a millimetre, with as many turns as fit."""
    near = candidate_of(layout)
    objective = Objective(brief, near.family, near.wire if wire is None else brief.wires[wire])
    rows = rows.copy()
    rows[:, :-1] = np.round(rows[:, :-1] / GRID) * GRID
    rows[:, 5] = np.maximum(rows[:, 5], brief.peg_radius)
    rows = np.unique(rows[rows[:, 1] < rows[:, 2]], axis=0)
    if not len(rows):
        return 0.0
    rows[:, -1] = objective.turns_allowed(rows)
    rows = rows[rows[:, -1] >= 1]
    rows = rows[(objective.clearances(rows) >= -TOLERANCE).all(axis=1)] if len(rows) else rows
    ranked = rows[np.argsort(-objective.values(rows))[:LOOKED_AT]] if len(rows) else rows
    layouts = (layout_of(brief, objective.candidate(row, 0.0)) for row in ranked)
    fitting = [each for each in layouts if fits_brief(brief, each) and not overlaps(each)]
    return max((GOALS[brief.goal].worth(each) for each in fitting), default=0.0)
