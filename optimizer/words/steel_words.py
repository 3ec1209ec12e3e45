"""What steel plates do to the figures, and how far the computed field may be off, in words."""

from __future__ import annotations

from optimizer.evaluation.figures import Figures
from optimizer.words.wording import SPACE, number, quantity, size_mm


def share(value: float) -> str:
    """A share of a few percent to a tenth of one."""
    return f"{value * 100:.1f}{SPACE}%"


def steel_sentence(figures: Figures) -> str | None:
    """Whether a plate carries the flux, and what a thinner one gives; None without plates."""
    needed, left, band = figures.plate_needed_mm, figures.plate_derating, figures.plate_derating_band
    if needed is None or left is None or band is None:
        return None
    plate, asked = size_mm(figures.plate_mm), quantity(needed, "mm", 2)
    if figures.plate_mm >= needed:
        return f"{plate} of steel behind the magnets carries their flux, which asks for {asked}"
    verdict = f"{plate} of steel is less than the {asked} that the magnets' flux asks for"
    if share(left) == share(1):
        return f"{verdict}, but as good as enough: it gives all the volts of a thick plate"
    low, high = (number(figures.emf_rms_V * end / left) for end in band)
    return (
        f"{verdict}: it gives {share(left)} of the volts of a thick plate, which all figures here count with "
        f"({quantity(figures.emf_rms_V, 'V')} rms, nine times in ten {low} to {high}{SPACE}V)"
    )


def error_sentence(figures: Figures) -> str | None:
    """How far finite elements found the volts off at most; None where none were run."""
    if figures.field_error is None:
        return None
    kind = "without steel plates" if figures.plate_needed_mm is None else "with steel plates, thin and thick"
    return f"the volts were within {share(figures.field_error)} of finite elements, over machines {kind}"


def machine_notes(figures: Figures) -> tuple[str, ...]:
    """Sentences to stand beside all volts and watts of a machine: its steel, the model's own error."""
    notes = (steel_sentence(figures), error_sentence(figures))
    return tuple(f"{text[0].upper()}{text[1:]}." for text in notes if text)
