"""What each limit of the brief costs: the winner climbed again with that one limit a little wider.

Where the wider limit lets more magnets in than before, these are scanned with every coil shape and wire of the brief.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.scan.choices import Dimensions, Family, family_of, magnet_counts
from optimizer.scan.scan import scan_count
from optimizer.search.local_optimisation import local_optimum
from optimizer.search.objective import Objective
from optimizer.search.result import LimitGain
from optimizer.search.turn_emf import TurnEmf

WORTH = 2e-3  # relative gain that makes a limit worth speaking of
NOISE = 1e-6  # a gain below this is the climb's own


@dataclass(frozen=True, slots=True)
class Relaxation:
    """One limit of the brief made a little wider: its key, its value before and after in `unit`, the new brief."""

    key: str
    unit: str
    was: float
    relaxed: float
    brief: Brief


def relaxations(brief: Brief) -> list[Relaxation]:
    """Each numeric limit of the brief, widened by about what one could do about it."""
    space, peg = brief.space, 2 * brief.peg_radius
    wider = replace(space, outer_diameter=space.outer_diameter + 2e-3)
    narrower = replace(space, bore_diameter=space.bore_diameter - min(2e-3, space.bore_diameter / 2))
    thinner = replace(space, wall=max(space.wall - 0.5e-3, 0.0))
    nearer, taller, smaller = (
        brief.air_gap - min(0.2e-3, brief.air_gap / 5),
        brief.coil_height + 1e-3,
        peg * 0.75,
    )
    found = [
        _lengths(
            "space.outer_diameter_mm", space.outer_diameter, wider.outer_diameter, replace(brief, space=wider)
        ),
        _lengths(
            "space.bore_diameter_mm",
            space.bore_diameter,
            narrower.bore_diameter,
            replace(brief, space=narrower),
        ),
        _lengths("space.wall_mm", space.wall, thinner.wall, replace(brief, space=thinner)),
        _lengths("space.air_gap_mm", brief.air_gap, nearer, replace(brief, air_gap=nearer)),
        _lengths("space.coil_height_mm", brief.coil_height, taller, replace(brief, coil_height=taller)),
        _lengths("wire.peg_diameter_mm", peg, smaller, replace(brief, peg_radius=smaller / 2)),
        *_wire_relaxations(brief),
    ]
    return [step for step in found if step.was != step.relaxed]


def _wire_relaxations(brief: Brief) -> list[Relaxation]:
    fuller = min(brief.fill_factor + 0.05, 0.9)
    thinner = max(brief.least_layers - 1, 1)
    found = [
        Relaxation("wire.fill_factor", "", brief.fill_factor, fuller, replace(brief, fill_factor=fuller)),
        Relaxation(
            "coil.least_layers", "", brief.least_layers, thinner, replace(brief, least_layers=thinner)
        ),
    ]
    if brief.length is not None:
        more = brief.length * 1.1
        found.append(Relaxation("wire.length_m", "m", brief.length, more, replace(brief, length=more)))
    if brief.resistance is not None:
        more = brief.resistance * 1.1
        found.append(
            Relaxation("wire.resistance_ohm", "Ω", brief.resistance, more, replace(brief, resistance=more))
        )
    return found


def _lengths(key: str, was: float, relaxed: float, brief: Brief) -> Relaxation:
    return Relaxation(key, "mm", was * 1e3, relaxed * 1e3, brief)


def limit_gains(
    brief: Brief, best: Layout, progress: Callable[[float], None] = lambda _: None
) -> tuple[LimitGain, ...]:
    """What widening each limit would bring, the largest gain first.

    With the winner's magnets, coil shape and wire, or with any coil shape and wire and the more magnets let in.
    """
    family = family_of(best)
    base = _reached(brief, family, best)
    wider = relaxations(brief)
    steps = [*wider, *_more_magnets(brief, best)]
    rows: list[LimitGain] = []
    for done, step in enumerate(steps):
        same = (
            _reached(step.brief, family, best) if done < len(wider) else base
        )  # a larger stock alone moves nothing
        rows.append(_gain(step, base, same, _with_more(brief, step.brief)))
        progress((done + 1) / len(steps))
    return tuple(sorted(rows, key=lambda row: (-row.gain, row.key)))


def _gain(step: Relaxation, base: float, same: float, more: tuple[float, int | None]) -> LimitGain:
    was, relaxed = (float(f"{value:.9g}") for value in (step.was, step.relaxed))
    reached, count = max((same, None), more, key=lambda each: each[0])
    gain = reached / base - 1
    gain = gain if gain > NOISE else 0.0
    return LimitGain(
        key=step.key, unit=step.unit, was=was, relaxed=relaxed, gain=gain, binds=gain > WORTH, magnets=count
    )


def _reached(brief: Brief, family: Family, best: Layout) -> float:
    """The goal's value that a climb from the winner reaches, turns as a real number."""
    winding = best.winding
    start = Dimensions(
        best.carrier.pitch_radius, winding.inner_radius, winding.outer_radius, winding.width, winding.height
    )  # fmt: skip
    objective = Objective(brief, family, winding.wire, TurnEmf(brief, family))
    optimum = local_optimum(objective, start, winding.turns)
    own = objective.value(start, winding.turns) if objective.fits(start, winding.turns) else 0.0
    return max(own, optimum.value if optimum else 0.0)


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
    wider = replace(brief, magnets=(*brief.magnets[:at], stocked, *brief.magnets[at + 1 :]))
    return [Relaxation(f"magnets[{at + 1}].quantity", "", stock.quantity, needed, wider)]


def _with_more(brief: Brief, wider: Brief) -> tuple[float, int | None]:
    """The goal's value with a number of magnets that only the wider brief allows, and that number; 0 without any."""
    reached: tuple[float, int | None] = (0.0, None)
    for at, (before, stock) in enumerate(zip(brief.magnets, wider.magnets, strict=True)):
        for count in sorted({*magnet_counts(wider, stock)} - {*magnet_counts(brief, before)}):
            reached = max(reached, (_scanned(wider, at, count), count), key=lambda each: each[0])
    return reached


def _scanned(brief: Brief, stock: int, count: int) -> float:
    """The goal's value that a climb from the best of a scan of one number of magnets reaches."""
    seeds = scan_count([brief], stock, count)[0].seeds
    top = max(seeds, key=lambda seed: seed.value, default=None)
    if top is None:
        return 0.0
    optimum = local_optimum(
        Objective(brief, top.family, top.wire, TurnEmf(brief, top.family)), top.dimensions, top.turns
    )
    return max(top.value, optimum.value if optimum else 0.0)
