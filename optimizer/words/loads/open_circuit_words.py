"""Words for nothing joined."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimizer.circuit.loads import OpenCircuit
from optimizer.circuit.thevenin import TheveninSource
from optimizer.words.loads.words_of_kind import KindWords

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy


class OpenWords(KindWords[OpenCircuit]):
    """Of an open circuit."""

    kind = OpenCircuit
    name = "open circuit"

    def amount(self, load: OpenCircuit) -> str:
        return ""

    def brief(self, load: OpenCircuit) -> str:
        return self.name

    def beside(self, load: OpenCircuit) -> str:
        return "nothing joined"

    def best(self, load: OpenCircuit, study: LoadStudy, maximum: str, at: str, near: str) -> str:
        if study.source.phases == 3:
            return f"The most that three resistors joined as the phases are can get is {maximum}, at {at} each."
        return f"The most that a resistor straight across the winding can get is {maximum}, at {at}."

    def volts_meaning(self, load: OpenCircuit, source: TheveninSource) -> str:
        if source.kind == "commutated":
            return "direct, at no load"
        return f"RMS, at no load{' between two terminals' if source.phases == 3 else ''}"


WORDS = OpenWords()
