"""Words for strings of LEDs behind a bridge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from optimizer.circuit.loads import Led
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import RowOfWords, amps_text, quantity

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy


class LedWords(KindWords[Led]):
    """Of strings of LEDs."""

    kind = Led
    name = "bridge into LEDs"
    held = "the LEDs' forward voltage"
    at = "mean, at the LEDs"
    gets = "The LEDs get"
    begins = "Light begins"
    stores_nothing = "LEDs make light of all that they get and store none of it; a charger in their place may"
    best_of = "such LEDs"
    best_at = "to strings of"
    volts = "direct, at the LEDs"

    def amount(self, load: Led) -> str:
        strings = "one string" if load.strings == 1 else f"{load.strings} strings"
        return f"{strings} of {quantity(load.forward_volts, 'V')}"

    def given_rows(self, load: Led, study: LoadStudy) -> Iterator[RowOfWords]:
        yield from super().given_rows(load, study)
        each = amps_text(study.details["string_A"])
        yield "Each string", each, "mean: hold it against the LEDs' data sheet, and the peak too"


WORDS = LedWords()
