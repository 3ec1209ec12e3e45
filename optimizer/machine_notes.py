"""What holds for every figure of a machine with a load or a rig: thin steel, the model's own error."""

from __future__ import annotations

from geometry.layout import Layout
from optimizer.evaluation import evaluate
from optimizer.figures import Figures
from optimizer.steel_words import error_sentence, plate_words, share
from optimizer.wording import percent


def layout_notes(layout: Layout) -> tuple[str, ...]:
    """`machine_notes` of a layout."""
    return machine_notes(evaluate(layout))


def machine_notes(figures: Figures) -> tuple[str, ...]:
    """Sentences to stand beside volts and watts that were computed as of a steel plate that carries all the flux."""
    found = (_steel(figures), error_sentence(figures))
    return tuple(f"{text[0].upper()}{text[1:]}." for text in found if text)


def _steel(figures: Figures) -> str | None:
    low, middle, high = figures.plate_derating_min, figures.plate_derating, figures.plate_derating_max
    if figures.plate_needed_mm is None or low is None or middle is None or high is None:
        return None
    words = plate_words(figures.plate_mm, figures.plate_needed_mm, (low, middle, high))
    if figures.plate_mm >= figures.plate_needed_mm or share(middle) == share(1):
        return words
    high_by, watts_by = percent(1 / middle - 1), percent(1 / middle**2 - 1)
    return (
        f"{words}. Volts and watts here are those before that loss: about {high_by} high in volts and {watts_by} in "
        f"watts into plain ohms; output begins at a speed {high_by} higher than told"
    )
