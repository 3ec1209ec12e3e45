"""Words for a resistor straight across the winding."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from optimizer.circuit.loads import Resistor
from optimizer.circuit.thevenin import TheveninSource
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import RowOfWords, amps_text, quantity

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy


class ResistorWords(KindWords[Resistor]):
    """Of a resistor; behind three phases, of three."""

    kind = Resistor
    name = "resistor straight across the winding"

    def amount(self, load: Resistor) -> str:
        return quantity(load.ohms, "Ω")

    def beside(self, load: Resistor) -> str:
        return f"{self.amount(load)} straight across"

    def joined(self, load: Resistor, connection: str) -> str:
        if not connection:
            return self.brief(load)
        return f"three resistors of {self.amount(load)} each, joined in {connection}"

    def given_rows(self, load: Resistor, study: LoadStudy) -> Iterator[RowOfWords]:
        volts, amps = load.alternating(study.point)
        told = f"{amps_text(amps)} rms"
        each = f"{told}, in each of three joined in {study.source.connection}" if study.source.connection else told
        yield "Load", f"{quantity(volts, 'V')} rms", each

    def volts_meaning(self, load: Resistor, source: TheveninSource) -> str:
        if source.kind == "commutated":
            return "direct, across the resistance"
        return f"RMS, across {'one of the three resistances' if source.phases == 3 else 'the resistance'}"


WORDS = ResistorWords()
