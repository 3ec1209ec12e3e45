"""Why the best machine of a search won: which limits bind, what the moves do, how it was computed."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.machine.layout import Layout
from optimizer.brief.goal import GOALS
from optimizer.evaluation.figures import Figures
from optimizer.search.result import LimitGain, Move, Result
from optimizer.words.machine_words import band_words
from optimizer.words.steel_words import machine_notes
from optimizer.words.wording import SPACE, number, percent, quantity, signed_percent


@dataclass(frozen=True, slots=True)
class MoveCell:
    """One move: where to, what it changes, whether it fits."""

    moved: str
    change: str
    fits: bool


@dataclass(frozen=True, slots=True)
class MoveRow:
    """All moves of one variable; `blanks` cells are missing to the longest row."""

    name: str
    was: str
    cells: tuple[MoveCell, ...]
    blanks: int


@dataclass(frozen=True, slots=True)
class Gain:
    """A limit relaxed, what that brings of the goal, and what the goal comes to."""

    words: str
    gain: str
    value: str


@dataclass(frozen=True, slots=True)
class Why:
    """Why this layout: limits that hold it back, each with what relaxing it brings, and those that do not."""

    binding: tuple[Gain, ...]
    slack: tuple[str, ...]


LIMIT_WORDS = {
    "space.outer_diameter_mm": "A disc of {relaxed} instead of {was}",
    "space.bore_diameter_mm": "A bore of {relaxed} instead of {was}",
    "space.wall_mm": "Walls of {relaxed} instead of {was} around the magnets",
    "space.air_gap_mm": "An air gap of {relaxed} instead of {was}",
    "space.coil_height_mm": "A winding of up to {relaxed} height instead of {was}",
    "wire.peg_diameter_mm": "Corners of the former of {relaxed} instead of {was}",
    "wire.fill_factor": "A winding filled to {relaxed} instead of {was}",
    "coil.least_layers": "Bundles of at least {relaxed} wires each way instead of {was}",
    "wire.length_m": "{relaxed} of wire instead of {was}",
    "wire.resistance_ohm": "{relaxed} allowed instead of {was}",
}


def limit_words(limit: LimitGain) -> str:
    """A relaxed limit in words."""
    words = LIMIT_WORDS.get(limit.key)
    if words is None:
        what = "magnets at hand" if limit.key.endswith("quantity") else limit.key
        words = "{relaxed} " + what + " instead of {was}"
    said = words.format(relaxed=_limit_value(limit, limit.relaxed), was=_limit_value(limit, limit.was))
    return said if limit.magnets is None or limit.key.endswith("quantity") else f"{said}, for {limit.magnets} magnets"


def _limit_value(limit: LimitGain, value: float) -> str:
    if limit.key.endswith("fill_factor"):
        return percent(value)
    return f"{value:.4g}{SPACE}{limit.unit}".rstrip(SPACE)


def why_words(result: Result) -> Why:
    """Which limits bind, what relaxing each would bring, and which leave room."""
    goal = GOALS[result.brief.goal]
    value = goal.value(result.best.figures)
    binding = tuple(
        Gain(limit_words(limit), signed_percent(limit.gain), quantity(value * (1 + limit.gain), goal.unit))
        for limit in result.limits
        if limit.binds
    )
    slack = tuple(_lower_first(limit_words(limit)) for limit in result.limits if not limit.binds)
    return Why(binding, slack)


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]


VARIABLES = {
    "pitch_radius_mm": "Pitch radius, mm",
    "inner_radius_mm": "Inner radius, mm",
    "outer_radius_mm": "Outer radius, mm",
    "width_mm": "Bundle width, mm",
    "height_mm": "Bundle height, mm",
    "turns": "Turns per coil",
    "wire.diameter_mm": "Wire, mm",
}


def move_rows(result: Result) -> list[MoveRow]:
    """Every single-variable move, a row for each variable."""
    groups: dict[str, list[Move]] = {}
    for move in result.moves:
        groups.setdefault(move.variable, []).append(move)
    longest = max((len(moves) for moves in groups.values()), default=0)
    return [
        MoveRow(
            VARIABLES.get(name, name), f"{moves[0].was:g}", tuple(map(_cell, moves)), longest - len(moves)
        )
        for name, moves in groups.items()
    ]


def _cell(move: Move) -> MoveCell:
    return MoveCell(f"{move.moved:g}", signed_percent(move.change), move.fits)


def move_verdict(result: Result) -> str:
    """What the moves show, in words."""
    fitting = [move.change for move in result.moves if move.fits]
    moves = f"{len(result.moves)} moves of a single variable, {len(fitting)} still fit"
    best = max(fitting, default=-1.0)
    if best > 5e-5:
        return f"Of {moves}; the best of these gives {signed_percent(best)}."
    if best > -5e-5:
        return f"Of {moves}, and none of these gives more."
    return f"Of {moves}, and every one of these gives less. A gain is to be had only by breaking a limit."


def method_sentences(layout: Layout, figures: Figures) -> tuple[str, str, str]:
    """How the numbers were computed: field, EMF, resistance."""
    magnet = layout.carrier.magnet
    source = (
        f"the least that makers guarantee for {magnet.grade}" if magnet.grade else "as the brief gives it"
    )
    return (
        (
            f"The field is that of uniformly magnetized {magnet.shape}s with an effective polarization of"
            f" {quantity(figures.polarization_T, 'T')}: the remanence of {quantity(magnet.remanence, 'T')}"
            f" ({source}), lowered by the demagnetizing factor of"
            f" {_demagnetizing(layout)} at a recoil permeability of"
            f" {' '.join((f'{number(magnet.recoil_permeability)}.', *machine_notes(figures)))}"
        ),
        (
            "The EMF is that of every turn in its own place in the bundle, with all harmonics, the integral"
            " of ω·r·B\u00a0dr (B: axial field) along the rounded turns; it is open circuit, so a load"
            " lowers it."
        ),
        (
            f"The resistance is nominal at 20{SPACE}°C; the wire standard's tolerance allows"
            f" {band_words(figures)}, and copper gains 3.9\u00a0% for every 10\u00a0°C."
        ),
    )


def _demagnetizing(layout: Layout) -> str:
    magnet = layout.carrier.magnet
    if not layout.carrier.plate:
        return f"{number(magnet.demagnetizing_factor)} (of the {magnet.shape} by itself)"
    return f"{number(magnet.factor(2 * magnet.thickness))} (of the {magnet.shape} and its mirror image together)"
