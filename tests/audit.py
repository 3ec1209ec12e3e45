"""An audit of a search: single moves, thousands of neighbours, and differential evolution over each family."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import differential_evolution

from geometry.coils.bundle import Envelope
from geometry.fit.judge import overlaps
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.circuit.thevenin import thevenin_of
from optimizer.evaluation.chain import evaluate
from optimizer.loads.load_target import LoadTarget
from optimizer.scan.choices import candidate_of, layout_of, pitch_limits
from optimizer.search.load_aim import LoadWorth, value_of
from optimizer.search.load_search import LoadResult, target_value
from optimizer.search.neighbours import fits_brief, single_moves
from optimizer.search.objective import TOLERANCE, Objective
from optimizer.search.result import Entry, Result

LOOKED_AT = 60  # of the rivals that rank first, as laid out
GRID = np.array([1e-5, 1e-5, 1e-5, 1e-5, 1e-5, 5e-5])  # m, what a workshop can set
EVOLUTION = {
    "vectorized": True, "updating": "deferred", "maxiter": 150, "popsize": 12, "tol": 1e-7, "polish": False,
}  # fmt: skip
TOP = 3  # entries of a search for a load whose families are audited
VOLTS, OHMS = np.geomspace(0.2, 3.0, 22), np.geomspace(0.05, 8.0, 22)  # times those of a layout


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """How rivals of a layout are compared: by rows of their objective (E, 7), as laid out, and the best exactly.

    fewer: whether fewer turns than fit may be worth more.
    """

    brief: Brief
    rank: Callable[[Objective, np.ndarray], np.ndarray]
    laid: Callable[[Layout], float]
    worth: Callable[[Layout], float]
    fewer: bool = False


def audited(result: Result, neighbours: int = 5000, *, evolve: bool = True, seed: int = 7) -> Iterator[Audited]:
    """The winner and every best by number of magnets and by coil shape, each layout once."""
    goal = GOALS[result.brief.goal]
    score = Score(brief=result.brief, rank=Objective.values, laid=goal.worth, worth=goal.worth)
    for of, entry in _kinds(result).items():
        value = goal.worth(entry.layout)
        single = max((move.change for move in single_moves(result.brief, entry.layout) if move.fits), default=-1.0)
        near, evolved = _rivals(score, entry.layout, neighbours, seed if evolve else None)
        yield Audited(
            of=of, layout=entry.layout, value=value, single=single, near=near / value - 1, evolved=evolved / value - 1
        )


def audited_load(brief: Brief, found: LoadResult, neighbours: int = 5000, seed: int = 7) -> Iterator[Audited]:
    """The winner of a search for a load against rivals in the families of its best machines."""
    target, best = found.target, found.result.best
    kinds = _kinds(found.result)
    ordered = sorted(kinds, key=lambda of: -_exact(kinds[of].layout, target))
    winner = _exact(best.layout, target)
    single = max((move.change for move in found.result.moves if move.fits), default=-1.0)
    for of in ordered[:TOP]:
        layout = kinds[of].layout
        score = Score(
            brief=replace(brief, goal="emf_rms"), rank=_of_load(layout, target, winner),
            laid=LoadWorth.near(layout, target).sooner(layout), worth=lambda rival: _exact(rival, target), fewer=True,
        )  # fmt: skip
        near, evolved = _rivals(score, layout, neighbours, seed)
        yield Audited(
            of=of, layout=layout, value=_exact(layout, target), single=single if of == "winner" else -1.0,
            near=near / winner - 1, evolved=evolved / winner - 1,
        )  # fmt: skip


def _kinds(result: Result) -> dict[str, Entry]:
    """What is the best of something, each layout once."""
    kinds = {"winner": result.best}
    kinds |= {f"{entry.layout.carrier.count} magnets": entry for entry in result.by_magnet_count}
    kinds |= {entry.layout.winding.topology: entry for entry in result.by_topology}
    kinds |= {f"phases: {entry.layout.phases}": entry for entry in result.by_phases}
    first = {entry.layout: of for of, entry in reversed(kinds.items())}
    return {of: kinds[of] for of in kinds if first[kinds[of].layout] == of}


def _exact(layout: Layout, target: LoadTarget) -> float:
    """W, or the inverse of the lowest rpm: the more the better."""
    value = target_value(layout, target)
    return value if target.kind == "load_power" else 1 / value


def _of_load(layout: Layout, target: LoadTarget, worth: float) -> Callable[[Objective, np.ndarray], np.ndarray]:
    """Ranks rows by what the load gets of a layout's source with their EMF and resistance in place of its own, W.

    At the layout's speed, or at the winner's lowest, whose inverse is `worth`.
    """
    source, figures = thevenin_of(layout), evaluate(layout)
    rpm = layout.speed_rpm if target.kind == "load_power" else 1 / worth
    power = replace(target, kind="load_power", watts=None)

    def watts(volts: float, ohms: float) -> float:
        changed = replace(
            source, flux_constants=source.flux_constants * volts, resistance=source.resistance * ohms
        )
        return value_of(changed, rpm, power)

    table = np.array([[watts(volts, ohms) for ohms in OHMS] for volts in VOLTS])
    known = RegularGridInterpolator((np.log(VOLTS), np.log(OHMS)), np.log(table + 1e-9), bounds_error=False)

    def rank(objective: Objective, rows: np.ndarray) -> np.ndarray:
        inner, outer, width, peg = rows.T[[1, 2, 3, 5]]
        envelope = Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=objective.family.sectors, peg_radius=peg
        )
        metres = rows[:, -1] * objective.family.phase_turn_length(envelope)
        ohms = metres * objective.wire.resistance_per_metre / figures.resistance_ohm
        volts = objective.values(rows) / figures.emf_rms_V
        at = np.log(np.column_stack((np.clip(volts, *VOLTS[[0, -1]]), np.clip(ohms, *OHMS[[0, -1]]))))
        return np.exp(known(at))

    return rank


def _rivals(score: Score, layout: Layout, neighbours: int, seed: int | None) -> tuple[float, float]:
    """The best of so many neighbours, and of an evolution over the layout's family with each wire."""
    rng, brief = np.random.default_rng(seed or 0), score.brief
    near = _best(score, layout, *_near(score, layout, neighbours, rng)) if neighbours else 0.0
    wires = () if seed is None else range(len(brief.wires))
    evolved = (_best(score, layout, *_evolved(score, layout, wire, seed or 0), wire) for wire in wires)
    return near, max(evolved, default=0.0)


def _near(score: Score, layout: Layout, draws: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Rows of dimensions within some percent of a layout's, one, some or all moved; shares of the turns that fit."""
    rows = np.repeat(candidate_of(layout).row[None], draws, axis=0)
    moved = rng.random((draws, 6)) < rng.choice([0.3, 0.6, 1.0], (draws, 1))
    rows[:, :-1] *= np.exp(moved * rng.normal(0, 1, (draws, 6)) * rng.choice([1e-3, 5e-3, 0.03], (draws, 1)))
    return rows, np.minimum(rng.uniform(0.8, 1.2, draws), 1.0) if score.fewer else np.ones(draws)


def _evolved(score: Score, layout: Layout, wire: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Rows of the last generations of an evolution over the dimensions of a layout's family, with one wire, and
    their shares of the turns that fit."""
    brief = score.brief
    objective = Objective(brief, candidate_of(layout).family, brief.wires[wire])
    space, family = brief.space, objective.family
    least = brief.least_layers * objective.wire.overall_diameter
    low, high = pitch_limits(brief, family.magnet)
    bounds = [
        (low, high), (space.bore_radius, space.outer_radius), (space.bore_radius, space.outer_radius),
        (least, max((space.outer_radius - space.bore_radius) / 2, least * 1.01)),
        (least * family.pieces, max(brief.coil_height / family.stacked, least * family.pieces * 1.001)),
        (brief.peg_radius, max(4 * brief.peg_radius, space.outer_radius / 4)),
        *([(0.3, 1.3)] if score.fewer else []),
    ]  # fmt: skip
    kept: list[np.ndarray] = []

    def loss(x: np.ndarray) -> np.ndarray:
        points = x.T.reshape(-1, len(bounds))
        shares = np.minimum(points[:, 6], 1.0) if score.fewer else np.ones(len(points))
        rows = np.column_stack((points[:, :6], np.ones(len(points))))
        rows[rows[:, 1] >= rows[:, 2] - GRID[0], 2] = space.outer_radius
        rows[:, -1] = np.maximum(np.floor(objective.turns_allowed(rows) * shares), 1)
        broken = np.maximum(-objective.clearances(rows), 0).sum(axis=1)
        kept.append(np.column_stack((rows, shares))[broken <= TOLERANCE])
        return np.where(broken > TOLERANCE, 10 + broken, -np.log(np.maximum(score.rank(objective, rows), 1e-12)))

    differential_evolution(loss, bounds, **EVOLUTION, seed=seed)
    last = np.vstack(kept[-40:])
    return last[:, :-1], last[:, -1]


def _best(score: Score, layout: Layout, rows: np.ndarray, shares: np.ndarray, wire: int | None = None) -> float:
    """The best worth, as laid out, of rows set to what a workshop can set, with shares of the turns that fit."""
    brief, near = score.brief, candidate_of(layout)
    objective = Objective(brief, near.family, near.wire if wire is None else brief.wires[wire])
    rows = rows.copy()
    rows[:, :-1] = np.round(rows[:, :-1] / GRID) * GRID
    rows[:, 5] = np.maximum(rows[:, 5], brief.peg_radius)
    sound = rows[:, 1] < rows[:, 2]
    rows, shares = rows[sound], shares[sound]
    if not len(rows):
        return 0.0
    rows[:, -1] = np.floor(objective.turns_allowed(rows) * shares)
    rows = np.unique(rows[rows[:, -1] >= 1], axis=0)
    rows = rows[(objective.clearances(rows) >= -TOLERANCE).all(axis=1)] if len(rows) else rows
    ranked = rows[np.argsort(-score.rank(objective, rows))[:LOOKED_AT]] if len(rows) else rows
    layouts = (layout_of(brief, objective.candidate(row, 0.0)) for row in ranked)
    fitting = [each for each in layouts if fits_brief(brief, each) and not overlaps(each)]
    best = max(fitting, key=score.laid, default=None)
    return score.worth(best) if best is not None else 0.0
