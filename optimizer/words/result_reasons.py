"""Why the best machine of a search won: which limits bind, what the moves do, how it was computed."""

from __future__ import annotations

from typing import NamedTuple

from optimizer.bounds.any_winding import WindingBound
from optimizer.brief.goal import GOALS
from optimizer.evaluation.figures import Figures
from optimizer.search.result import LimitGain, Move, Result
from optimizer.words.load_words import gained_words
from optimizer.words.machine_words import band_words, machine_notes
from optimizer.words.wording import SPACE, number, percent, quantity, signed_percent


class Gain(NamedTuple):
    """A limit relaxed, what that brings of the goal, and what the goal comes to."""

    words: str
    gain: str
    value: str


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


def binding_limits(result: Result) -> tuple[Gain, ...]:
    """The limits that hold the best machine back, each relaxed alone, and what that would bring."""
    goal = GOALS[result.brief.goal]
    value = goal.value(result.best.figures)

    def reached(gain: float) -> str:
        return gained_words(result.load, gain) if result.load else quantity(value * (1 + gain), goal.unit)

    return tuple(
        Gain(limit_words(limit), signed_percent(limit.gain), reached(limit.gain))
        for limit in result.limits
        if limit.binds
    )


def slack_limits(result: Result) -> tuple[str, ...]:
    """The limits that leave room, each as it was relaxed."""
    return tuple(_lower_first(limit_words(limit)) for limit in result.limits if not limit.binds)


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


def move_rows(result: Result) -> dict[str, list[Move]]:
    """Every single-variable move, by the variable's name."""
    rows: dict[str, list[Move]] = {}
    for move in result.moves:
        rows.setdefault(VARIABLES.get(move.variable, move.variable), []).append(move)
    return rows


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


def method_sentences(figures: Figures) -> tuple[str, str, str]:
    """How the numbers were computed: field, EMF, resistance."""
    magnet = figures.magnet
    source = f"the least that makers guarantee for {magnet.grade}" if magnet.grade else "as the brief gives it"
    return (
        (
            f"The field is that of uniformly magnetized {magnet.shape}s with an effective polarization of"
            f" {quantity(figures.polarization_T, 'T')}: the remanence of {quantity(magnet.remanence, 'T')}"
            f" ({source}), lowered by the demagnetizing factor of"
            f" {_demagnetizing(figures)} at a recoil permeability of"
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


def _demagnetizing(figures: Figures) -> str:
    magnet = figures.magnet
    if not figures.layout.carrier.plate:
        return f"{number(magnet.demagnetizing_factor)} (of the {magnet.shape} by itself)"
    return f"{number(magnet.factor(2 * magnet.thickness))} (of the {magnet.shape} and its mirror image together)"


def bound_finding(bound: WindingBound) -> str:
    """How near the best machine's volts are to what any winding could give."""
    share = f"{bound.share:.1%}".replace("%", f"{SPACE}%")
    return f"{share} of what any winding of this wire could give past these magnets"


def bound_words(bound: WindingBound) -> str:
    """The same with the bound itself, and how sharp it is."""
    return (
        f"{bound_finding(bound)}: in the same height none gives more than {quantity(bound.emf_rms_V, 'V')} of EMF, "
        f"and one gives that within {percent(bound.grid_error)}."
    )
