"""What each limit of the brief costs: the winner optimised again with that one limit a little wider.

Where the wider limit lets more magnets in than before, these are scanned with every coil shape and wire of the brief.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from geometry.machine.layout import Layout
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.scan.choices import Candidate, candidate_of, magnet_counts
from optimizer.scan.scan import scan_count
from optimizer.search.limits import limits_of, with_stock
from optimizer.search.local_optimisation import local_optimum
from optimizer.search.objective import Aim, Objective
from optimizer.search.refine import Finals
from optimizer.search.result import LimitGain

WORTH = 2e-3  # relative gain that makes a limit worth speaking of
FEW_TURNS = 70  # of which a whole one more or less may be half a percent of a gain
NOISE = 1e-6  # a gain below this is the local optimisation's own


@dataclass(frozen=True, slots=True)
class Relaxation:
    """One limit of the brief made a little wider: its key, its value before and after in `unit`, the new brief."""

    key: str
    unit: str
    was: float
    relaxed: float
    brief: Brief


def relaxations(brief: Brief, wire: Wire | None = None) -> list[Relaxation]:
    """Each numeric limit of the brief, widened by about what one could do about it; of spools those of `wire`."""
    known = [(limit, was) for limit in limits_of(brief, wire) if (was := limit.of(brief)) is not None]
    return [
        Relaxation(limit.key, limit.unit, was, limit.wider(was), limit.changed(brief, limit.wider(was)))
        for limit, was in known
        if limit.wider(was) != was
    ]


def limit_gains(
    brief: Brief, best: Layout, aim: Aim | None = None, progress: Callable[[float], None] = lambda _: None
) -> tuple[LimitGain, ...]:
    """What share of the goal, or of `aim`, widening each limit would bring, the largest gain first; progress: a share.

    With the winner's magnets, coil shape and wire, or with any coil shape and wire and the more magnets let in.
    """
    aim, start = aim or GOALS[brief.goal], candidate_of(best)
    base, whole = _reached(brief, start, aim), aim.worth(best) if start.turns < FEW_TURNS else None
    wider = relaxations(brief, best.winding.wire)
    steps = [*wider, *_more_magnets(brief, best)]
    rows: list[LimitGain] = []
    for done, step in enumerate(steps, 1):
        # a larger stock alone moves nothing
        gain = _reached(step.brief, start, aim) / base - 1 if done <= len(wider) else 0.0
        if whole is not None and gain > NOISE:
            gain = _built(step.brief, start, aim) / whole - 1
        count, more = _with_more(brief, step.brief, aim, built=whole is not None)
        more = more / (whole or base) - 1
        rows.append(_row(step, more, count) if more > gain else _row(step, gain))
        progress(done / len(steps))
    return tuple(sorted(rows, key=lambda row: (-row.gain, row.key)))


def _row(step: Relaxation, gain: float, count: int | None = None) -> LimitGain:
    was, relaxed = (float(f"{value:.9g}") for value in (step.was, step.relaxed))
    gain = gain if gain > NOISE else 0.0
    return LimitGain(
        key=step.key, unit=step.unit, was=was, relaxed=relaxed, gain=gain, binds=gain > WORTH, magnets=count
    )


def _reached(brief: Brief, start: Candidate, aim: Aim) -> float:
    """The value that a local optimisation reaches, turns as a real number; the start's own where it fits."""
    objective = Objective(brief, start.family, start.wire, aim)
    optimum = local_optimum(objective, start)
    own = float(objective.values(start.row[None])[0]) if objective.fits(start.row) else 0.0
    return max(own, optimum.value if optimum else 0.0)


def _built(brief: Brief, start: Candidate, aim: Aim) -> float:
    """The value of the best layout near a start that can be built: of few turns each one counts."""
    found = Finals(brief, aim=aim).best_of([[start]])
    return aim.worth(found.layout) if found else 0.0


def _more_magnets(brief: Brief, best: Layout) -> list[Relaxation]:
    """Two more magnets of the winner's kind than are at hand, when it uses all there are."""
    at, stock = next((i, s) for i, s in enumerate(brief.magnets) if s.magnet == best.carrier.magnet)
    count = best.carrier.count + 2
    needed = count * brief.carriers
    if stock.quantity is None or needed <= stock.quantity:
        return []
    stocked = replace(stock, quantity=needed)
    if count not in magnet_counts(brief, stocked):
        return []
    return [
        Relaxation(f"magnets[{at + 1}].quantity", "", stock.quantity, needed, with_stock(brief, at, stocked))
    ]


def _with_more(brief: Brief, wider: Brief, aim: Aim, *, built: bool) -> tuple[int | None, float]:
    """The best number of magnets that only the wider brief allows, and the value with it; 0 without any."""
    best: tuple[int | None, float] = (None, 0.0)
    for at, (before, stock) in enumerate(zip(brief.magnets, wider.magnets, strict=True)):
        for count in sorted({*magnet_counts(wider, stock)} - {*magnet_counts(brief, before)}):
            for start in scan_count([wider], at, count)[0].starts[:1]:
                reached = (_built if built else _reached)(wider, start, aim)
                best = max(best, (count, reached), key=lambda each: each[1])
    return best
