"""What holds for every figure of a machine with a load or a rig: steel plates, the model's own error."""

from __future__ import annotations

from geometry.machine.layout import Layout
from optimizer.evaluation.chain import evaluate
from optimizer.evaluation.figures import Figures
from optimizer.words.steel_words import error_sentence, steel_sentence


def layout_notes(layout: Layout) -> tuple[str, ...]:
    """`machine_notes` of a layout."""
    return machine_notes(evaluate(layout))


def machine_notes(figures: Figures) -> tuple[str, ...]:
    """Sentences to stand beside volts and watts."""
    found = (steel_sentence(figures), error_sentence(figures))
    return tuple(f"{text[0].upper()}{text[1:]}." for text in found if text)
