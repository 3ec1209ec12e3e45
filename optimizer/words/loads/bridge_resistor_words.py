"""Words for a resistance behind a bridge."""

from __future__ import annotations

from optimizer.circuit.loads import BridgeResistor
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import quantity


class BridgeResistorWords(KindWords[BridgeResistor]):
    """Of a resistance behind a bridge."""

    kind = BridgeResistor
    name = "bridge into a resistor"

    def amount(self, load: BridgeResistor) -> str:
        return quantity(load.ohms, "Ω")

    def beside(self, load: BridgeResistor) -> str:
        return f"a bridge into {self.amount(load)}"


WORDS = BridgeResistorWords()
