"""Words for a smoothed resistance behind a bridge."""

from __future__ import annotations

from optimizer.circuit.loads import BridgeCapacitor
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import quantity


class BridgeCapacitorWords(KindWords[BridgeCapacitor]):
    """Of a resistance with a capacitor across it."""

    kind = BridgeCapacitor
    name = "bridge into a smoothed resistor"

    def amount(self, load: BridgeCapacitor) -> str:
        return f"{quantity(load.ohms, 'Ω')} with {quantity(load.farads * 1e6, 'µF')}"

    def beside(self, load: BridgeCapacitor) -> str:
        return f"a bridge into {self.amount(load)}"


WORDS = BridgeCapacitorWords()
