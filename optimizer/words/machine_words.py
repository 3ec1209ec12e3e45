"""Coils, phases and arrangement of a machine in words, for every text that describes one."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.coils.topology import TOPOLOGIES
from optimizer.evaluation.figures import Figures
from optimizer.words.wording import SPACE, number, percent, quantity, size_mm

ALIKE = 1e-3  # share by which the EMFs of phases may differ and still be told as one


def joined_words(figures: Figures) -> str:
    """How the coils are joined, to follow their turns: " each, in series", or phases and their connection."""
    if figures.phases == 1:
        return " each, in series" if figures.coils > 1 else ""
    each = (
        f"{figures.coils // figures.phases} in series in each"
        if figures.coils > figures.phases
        else "one for each"
    )
    return f" each, {each} of {figures.phases} phases in {figures.connection}"


def arrangement_words(figures: Figures) -> str:
    """Second carrier, second side, steel; empty for the plain machine."""
    words = {
        "facing": "two carriers face each other, the coil between them",
        "two-sided": "half of the coils on each side of the one carrier",
    }
    found = [words[figures.arrangement]] if figures.arrangement in words else []
    if figures.plate_mm:
        found.append(f"steel of {size_mm(figures.plate_mm)} behind the magnets")
    return ", ".join(found)


def whose_words(phases: int, topology: str) -> str:
    """Whose the volts of a machine are, to follow them: bundles at heights of their own do not give equal ones."""
    if phases == 1:
        return ""
    return " a phase" if TOPOLOGIES[topology].concentrated else " in phase A"


def phase_words(figures: Figures) -> str:
    """Whose a machine's volts are: " a phase", " in phase A"; empty for one phase."""
    return whose_words(figures.phases, figures.topology)


def line_words(figures: Figures) -> str:
    """The voltage between two terminals; empty for one phase."""
    if figures.phases == 1:
        return ""
    equal = TOPOLOGIES[figures.topology].concentrated  # bundles at their own heights do not give equal voltages
    where = "any two terminals" if equal else "terminals A and B"
    return f"{quantity(figures.emf_line_rms_V, 'V')} rms between {where}, in {figures.connection}"


def factor_words(figures: Figures) -> tuple[str, str]:
    """The winding factor, and what is to be known of it: the handbook's, or why there is none."""
    book = f"by the handbook {figures.winding_factor_handbook:.3f}"
    if figures.winding_factor is None:
        return "none", (
            "the winding reaches into the return field beside the magnets, where straight full-pitch legs would give "
            f"less than its turns do and a share of theirs has no meaning; {book}"
        )
    return f"{figures.winding_factor:.3f}", f"fundamental, of the turns where they lie; {book}"


def phases_words(figures: Figures) -> tuple[str, ...]:
    """How the phases stand beside each other: one sentence when they are alike, else their volts and the lines'."""
    phases, lines = figures.phase_emf_rms_V, figures.line_emf_rms_V
    if phases is None or lines is None:
        return ()
    if max(phases) <= (1 + ALIKE) * min(phases):
        return ("alike, 120° apart",)
    return (
        f"{_volts(phases, ('A', 'B', 'C'))}: {_apart(phases)}",
        f"{_volts(lines, ('A–B', 'B–C', 'C–A'))} between terminals: {_apart(lines)}",
    )


def _volts(values: Sequence[float], names: Sequence[str]) -> str:
    each = ", ".join(f"{name} {number(value)}" for name, value in zip(names, values, strict=True))
    return f"{each}{SPACE}V rms"


def _apart(values: Sequence[float]) -> str:
    return f"the least {percent(1 - min(values) / max(values))} below the most"


def magnets_in_all(figures: Figures) -> int:
    """Magnets of all carriers."""
    return figures.magnet_count * (2 if figures.arrangement == "facing" else 1)


def load_words(figures: Figures) -> str:
    """Where the best power goes: into one resistor, or into one for each phase."""
    each = f"{SPACE}for each phase" if figures.phases > 1 else ""
    return f"{quantity(figures.resistance_ohm, 'Ω')}{each}"


def coils_words(figures: Figures) -> str:
    """Coils, turns and phases: "one serpentine coil of 40 turns"."""
    if figures.coils == 1:
        return f"one {figures.topology} coil of {figures.turns} turns"
    if figures.phases == 1:
        return f"{figures.coils} {figures.topology} coils of {figures.turns} turns each, in series"
    return f"{figures.coils} {figures.topology} coils of {figures.turns} turns{joined_words(figures)}"
