"""The winner's neighbourhood: every single variable moved both ways, so that anyone can see it stands on top."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.machine.filaments import phase_ends, without_spare
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import significant
from optimizer.evaluation.copper import resistance, wire_length
from optimizer.search.result import Move

STEPS_MM = (-1.0, -0.3, -0.1, 0.1, 0.3, 1.0)
SIZES = {
    "pitch_radius_mm": ("carrier", "pitch_radius", 1e3),
    "inner_radius_mm": ("winding", "inner_radius", 1e3),
    "outer_radius_mm": ("winding", "outer_radius", 1e3),
    "width_mm": ("winding", "width", 1e3),
    "height_mm": ("winding", "height", 1e3),
    "peg_diameter_mm": ("winding", "peg_radius", 2e3),
}
"""By its key in the layout file: the part and the field of a size, and how many of the key's unit make one of it."""
TURN_STEPS = (-5, -1, 1, 5)


Worth = Callable[[Layout], float]
"""What a layout is worth, with its own turns."""


def single_moves(brief: Brief, best: Layout, worth: Worth | None = None) -> tuple[Move, ...]:
    """Every move of one variable away from `best`, what it does to the goal, or to `worth`, and whether it fits."""
    worth = worth or GOALS[brief.goal].worth
    value = significant(worth(best))
    return tuple(
        Move(
            variable=variable, was=was, moved=moved,
            change=significant(worth(layout)) / value - 1, fits=fits_brief(brief, layout),
        )
        for variable, was, moved, layout in _moved(brief, best)
    )  # fmt: skip


def best_single(brief: Brief, best: Layout, worth: Worth) -> Layout:
    """The fitting layout that one move of a single variable makes of `best`, or `best` when none is worth more."""
    value = worth(best)
    fitting = [(worth(layout), layout) for *_, layout in _moved(brief, best) if fits_brief(brief, layout)]
    ranked = sorted(fitting, key=lambda pair: pair[0], reverse=True)
    return next((layout for each, layout in ranked if each > value and not overlaps(layout)), best)


def fits_brief(brief: Brief, layout: Layout) -> bool:
    """Whether a layout keeps every limit of its own and of the brief."""
    length, winding = wire_length(layout), layout.winding
    wire = layout.phases * winding.wire.strands * (length + phase_ends(layout))
    minimum = brief.least_layers * winding.wire.overall_diameter
    ohms = resistance(layout, length)
    at_hand = brief.length_of(winding.wire)
    stock = [s for s in brief.magnets if s.magnet == layout.carrier.magnet]
    return (
        not violations(layout)
        and (at_hand is None or wire <= without_spare(at_hand) * (1 + 1e-9))
        and (brief.resistance is None or ohms <= brief.resistance * (1 + 1e-9))
        and layout.stack_height <= brief.coil_height + 1e-9
        and min(winding.width, winding.height / layout.pieces) >= minimum - 1e-9
        and winding.peg_radius >= brief.peg_radius - 1e-9
        and any(s.quantity is None or layout.carrier.count * layout.carrier.carriers <= s.quantity for s in stock)
    )


def _moved(brief: Brief, best: Layout) -> Iterator[tuple[str, float, float, Layout]]:
    winding = best.winding
    for key, (part, name, scale) in SIZES.items():
        if name == "peg_radius" and not best.topology.bends_about_pegs:
            continue
        was_mm = round(getattr(getattr(best, part), name) * scale, 6)
        for step in STEPS_MM:
            moved_mm = round(was_mm + step, 6)
            try:
                yield key, was_mm, moved_mm, _with(best, part, name, moved_mm / scale)
            except ValueError:  # no such winding: a radius past its partner, a size below zero
                continue
    for turns in (winding.turns + step for step in TURN_STEPS):
        if turns >= 1:
            yield "turns", winding.turns, turns, _with(best, "winding", "turns", turns)
    for wire in brief.wires:
        if wire != winding.wire:
            moved = _with(best, "winding", "wire", wire)
            yield "wire.diameter_mm", winding.wire.diameter_mm, wire.diameter_mm, moved


def _with(layout: Layout, part: str, name: str, value: object) -> Layout:
    return replace(layout, **{part: replace(getattr(layout, part), **{name: value})})
