"""Words for a resistance behind a bridge."""

from __future__ import annotations

from optimizer.circuit.loads import BridgeResistor
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import SPACE, number, quantity


class BridgeResistorWords(KindWords[BridgeResistor]):
    """Of a resistance behind a bridge."""

    kind = BridgeResistor
    name = "bridge into a resistor"

    def brief(self, load: BridgeResistor) -> str:
        return f"{self.name}, {quantity(load.ohms, 'Ω')}"

    def beside(self, load: BridgeResistor) -> str:
        return f"a bridge into {number(load.ohms)}{SPACE}Ω"


WORDS = BridgeResistorWords()
