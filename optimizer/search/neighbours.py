"""The winner's neighbourhood: every single variable moved both ways, so that anyone can see it stands on top."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.leads import phase_ends, without_spare
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import evaluate
from optimizer.evaluation.copper import resistance, wire_length
from optimizer.search.result import Move

STEPS_MM = (-1.0, -0.3, -0.1, 0.1, 0.3, 1.0)
TURN_STEPS = (-5, -1, 1, 5)


def single_moves(brief: Brief, best: Layout) -> tuple[Move, ...]:
    """Every move of one variable away from `best`, with what it does to the goal and whether it still fits."""
    goal = GOALS[brief.goal]
    value = goal.value(evaluate(best))
    return tuple(
        Move(
            variable=variable, was=was, moved=moved,
            change=goal.value(evaluate(layout)) / value - 1, fits=fits_brief(brief, layout),
        )
        for variable, was, moved, layout in _moved(brief, best)
    )  # fmt: skip


def fits_brief(brief: Brief, layout: Layout) -> bool:
    """Whether a layout keeps every limit of its own and of the brief."""
    length, winding = wire_length(layout), layout.winding
    wire = layout.phases * (length + phase_ends(layout))
    minimum = brief.least_layers * winding.wire.overall_diameter
    ohms = resistance(layout, length)
    stock = [s for s in brief.magnets if s.magnet == layout.carrier.magnet]
    return (
        not violations(layout)
        and (brief.length is None or wire <= without_spare(brief.length) * (1 + 1e-9))
        and (brief.resistance is None or ohms <= brief.resistance * (1 + 1e-9))
        and layout.stack_height <= brief.coil_height + 1e-9
        and min(winding.width, winding.height / layout.pieces) >= minimum - 1e-9
        and any(s.quantity is None or layout.carrier.count * layout.carrier.carriers <= s.quantity for s in stock)
    )


def _moved(brief: Brief, best: Layout) -> Iterator[tuple[str, float, float, Layout]]:
    for step in STEPS_MM:
        yield from _length_move(
            "pitch_radius_mm", best.carrier.pitch_radius, step, lambda v: _with_pitch(best, v)
        )
    for name in ("inner_radius", "outer_radius", "width", "height"):
        for step in STEPS_MM:
            build = _winding_builder(best, name)
            yield from _length_move(f"{name}_mm", getattr(best.winding, name), step, build)
    for step in TURN_STEPS:
        turns = best.winding.turns + step
        if turns >= 1:
            yield (
                "turns",
                best.winding.turns,
                turns,
                replace(best, winding=replace(best.winding, turns=turns)),
            )
    for wire in brief.wires:
        if wire != best.winding.wire:
            moved = replace(best, winding=replace(best.winding, wire=wire))
            yield "wire.diameter_mm", best.winding.wire.diameter_mm, wire.diameter_mm, moved


def _with_pitch(best: Layout, value: float) -> Layout:
    return replace(best, carrier=replace(best.carrier, pitch_radius=value))


def _winding_builder(best: Layout, name: str) -> Callable[[float], Layout]:
    return lambda value: replace(best, winding=replace(best.winding, **{name: value}))


def _length_move(
    name: str, was: float, step: float, build: Callable[[float], Layout]
) -> Iterator[tuple[str, float, float, Layout]]:
    was_mm = round(was * 1e3, 6)
    moved_mm = round(was_mm + step, 6)
    try:
        layout = build(moved_mm / 1e3)
    except ValueError:  # no such winding: a radius past its partner, a size below zero
        return
    yield name, was_mm, moved_mm, layout
