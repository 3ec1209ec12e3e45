"""Coils, phases, arrangement and steel of a machine in words, for every text that describes one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from geometry.coils.topology import TOPOLOGIES
from geometry.machine.filaments import SPARE
from geometry.machine.layout import Layout
from geometry.stock.magnet import PULL_BAND, STRONGEST
from geometry.stock.pull import pull_on_steel
from geometry.stock.wire_words import wire_size
from optimizer.evaluation.chain import Figures
from optimizer.words.wording import SPACE, number, percent, quantity, size_mm

if TYPE_CHECKING:
    from optimizer.brief.brief import Brief

LIKE = 0.005  # share by which phases or pairs of terminals may differ and still be told as one
ARRANGEMENTS = {
    "facing": "two carriers face each other, the coil between them",
    "two-sided": "half of the coils on each side of the one carrier",
}


def joined_words(layout: Layout) -> str:
    """How the coils are joined, to follow their turns: " each, in series", or phases and their connection."""
    if layout.phases == 1:
        return " each, in series" if layout.coils > 1 else ""
    per_phase = layout.coils // layout.phases
    each = f"{per_phase} in series in each" if per_phase > 1 else "one for each"
    return f" each, {each} of {layout.phases} phases in {layout.winding.connection}"


def arrangement_words(layout: Layout) -> str:
    """Second carrier, second side, steel; empty for the plain machine."""
    steel = f"steel of {size_mm(layout.carrier.plate * 1e3)} behind the magnets" if layout.carrier.plate else ""
    return ", ".join(filter(None, (ARRANGEMENTS.get(layout.carrier.arrangement), steel)))


def whose_words(phases: int, topology: str) -> str:
    """Whose the volts of a machine are, to follow them: bundles at heights of their own do not give equal ones."""
    if phases == 1:
        return ""
    return " a phase" if TOPOLOGIES[topology].concentrated else " in phase A"


def phase_words(layout: Layout) -> str:
    """Whose a machine's volts are: " a phase", " in phase A"; empty for one phase."""
    return whose_words(layout.phases, layout.winding.topology)


def line_words(figures: Figures) -> str:
    """Between which terminals the line voltage lies, to follow it; lines that differ are all told."""
    lines = figures.line_emf_rms_V
    if lines is None:
        return ""
    if alike(lines):
        return f"rms between any two terminals, in {figures.layout.winding.connection}"
    _, second, third = lines
    others = f"B and C {quantity(second, 'V')}, C and A {quantity(third, 'V')}, {spread_words(lines)}"
    return f"rms between terminals A and B, in {figures.layout.winding.connection}; {others}"


def factor_words(figures: Figures) -> tuple[str, str]:
    """The winding factor, and what is to be known of it: the handbook's, or why there is none."""
    book = f"by the handbook {figures.winding_factor_handbook:.3f}"
    if figures.winding_factor is None:
        return "none", (
            "the winding reaches into the return field beside the magnets, where straight full-pitch legs would give "
            f"less than its turns do and a share of theirs has no meaning; {book}"
        )
    return f"{figures.winding_factor:.3f}", f"fundamental, of the turns where they lie; {book}"


def alike(values: Sequence[float]) -> bool:
    """Whether values, of any one unit, are told as one."""
    return max(values) <= (1 + LIKE) * min(values)


def each_words(volts: Sequence[float], where: str, names: Sequence[str]) -> str:
    """One value for all when they are alike, else one by one: "0.40 V across each phase", "0.4 V across A, …"."""
    if alike(volts):
        return f"{quantity(volts[0], 'V')} across {where}"
    return ", ".join(f"{quantity(value, 'V')} across {name}" for value, name in zip(volts, names, strict=True))


def spread_words(values: Sequence[float] | None) -> str:
    """How phases or pairs of terminals, by values of any one unit, stand beside each other."""
    if values is None:
        return ""
    return "alike" if alike(values) else f"the least {percent(1 - min(values) / max(values))} below the most"


def band_words(figures: Figures) -> str:
    """The resistances that the wire standard's tolerance allows."""
    return f"{number(figures.resistance_min_ohm)} to {quantity(figures.resistance_max_ohm, 'Ω')}"


def magnets_in_all(layout: Layout) -> int:
    """Magnets of all carriers."""
    return layout.carrier.count * layout.carrier.carriers


def radii_words(layout: Layout) -> str:
    """Extreme radii of the winding."""
    return f"{size_mm(layout.winding.inner_radius * 1e3)} to {size_mm(layout.winding.outer_radius * 1e3)}"


def matched_load_words(figures: Figures) -> str:
    """Where the matched-load power goes: into one resistor, or into one for each phase."""
    each = f"{SPACE}for each phase" if figures.layout.phases > 1 else ""
    return f"{quantity(figures.resistance_ohm, 'Ω')}{each}"


def coils_words(layout: Layout) -> str:
    """Coils, turns and phases: "one serpentine coil of 40 turns"."""
    shape, turns = layout.winding.topology, layout.winding.turns
    if layout.coils == 1:
        return f"one {shape} coil of {turns} turns"
    return f"{layout.coils} {shape} coils of {turns} turns{joined_words(layout)}"


def beyond_words(figures: Figures) -> str:
    """What ends, joints and spare take, to follow the length of the turns."""
    joints = "ends and joints" if figures.layout.coils > figures.layout.phases else "the ends"
    return f"{quantity(figures.wire_ends_m, 'm')} for {joints}, {quantity(figures.wire_spare_m, 'm')} to spare"


def at_hand_words(brief: Brief, figures: Figures) -> str:
    """What is kept of the wire at hand, and which spool it is; empty where any length can be had."""
    at_hand = brief.length_of(figures.layout.winding.wire)
    if at_hand is None:
        return ""
    held = spool_words(brief, figures) or quantity(at_hand, "m")
    return f"{held}, all phases together: ends, joints and {percent(SPARE)} to spare are kept of it"


def spool_words(brief: Brief, figures: Figures) -> str:
    """The brief's spool that a machine is wound from; empty where its wire is on none."""
    wire = figures.layout.winding.wire
    number = brief.spool_for(wire, figures.wire_needed_m)
    if number is None:
        return ""
    return f"spool {number} of the brief, {quantity(brief.spools[number - 1].length, 'm')} of {wire_size(wire, SPACE)}"


def spool_sentence(brief: Brief, figures: Figures) -> str:
    """Which spool to wind from, and what it leaves; empty where the wire is on none."""
    spool, needed = spool_words(brief, figures), quantity(figures.wire_needed_m, "m")
    return f"Wind it from {spool}: it takes {needed}, ends, joints and spare included." if spool else ""


def share(value: float) -> str:
    """A share of a few percent to a tenth of one."""
    return f"{value * 100:.1f}{SPACE}%"


def steel_sentence(figures: Figures) -> str:
    """Whether a plate carries the flux, and what a thinner one gives; empty without plates."""
    needed, left, band = figures.plate_needed_mm, figures.plate_derating, figures.plate_derating_band
    if needed is None or left is None or band is None:
        return ""
    plate_mm = figures.layout.carrier.plate * 1e3
    plate, asked = size_mm(plate_mm), quantity(needed, "mm", 2)
    if plate_mm >= needed:
        return f"{plate} of steel behind the magnets carries their flux, which asks for {asked}"
    verdict = f"{plate} of steel is less than the {asked} that the magnets' flux asks for"
    if share(left) == share(1):
        return f"{verdict}, but as good as enough: it gives all the volts of a thick plate"
    low, high = (number(figures.emf_rms_V * end / left) for end in band)
    return (
        f"{verdict}: it gives {share(left)} of the volts of a thick plate, which all figures here count with "
        f"({quantity(figures.emf_rms_V, 'V')} rms, nine times in ten {low} to {high}{SPACE}V)"
    )


def error_sentence(figures: Figures) -> str:
    """How far finite elements found the volts off at most; empty where none were run."""
    if figures.field_error is None:
        return ""
    kind = "without steel plates" if figures.plate_needed_mm is None else "with steel plates, thin and thick"
    return f"the volts were within {share(figures.field_error)} of finite elements, over machines {kind}"


def strength_sentence(figures: Figures) -> str:
    """What is not known of the magnets' strength, what that means for the volts, and what would settle it."""
    magnet, band = figures.layout.carrier.magnet, figures.emf_rms_V_band
    if band is None:
        return ""
    low, high = (number(end) for end in band)
    if magnet.pull is not None:
        return (
            f"{magnet.remanence:.3g}{SPACE}T follow from a pull of {quantity(magnet.pull, 'N')} off thick steel, and "
            f"pulls are measured within {percent(PULL_BAND)}: {low} to {high}{SPACE}V rms"
        )
    pulls = [quantity(pull_on_steel(replace(magnet, remanence=end)), "N", 2) for end in magnet.remanence_band or ()]
    return (
        f"the grade is unknown, so that all figures count with {magnet.remanence:.3g}{SPACE}T, the least that "
        f"neodymium is commonly sold with (N35); the strongest, {STRONGEST:.3g}{SPACE}T, would give up to "
        f"{high}{SPACE}V rms. One measurement settles it: what lifts one magnet off thick bare steel, "
        f"{' to '.join(pulls)} (pull_N), or the volts of one test coil. A dull grey magnet of ferrite is weaker than "
        "any of these: give its grade, C5"
    )


def machine_notes(figures: Figures) -> tuple[str, ...]:
    """Sentences to stand beside all volts and watts of a machine: its steel, the model's own error."""
    notes = (steel_sentence(figures), error_sentence(figures), strength_sentence(figures))
    return tuple(f"{text[0].upper()}{text[1:]}." for text in notes if text)
