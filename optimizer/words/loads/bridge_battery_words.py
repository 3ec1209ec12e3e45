"""Words for a sink of constant volts behind a bridge."""

from __future__ import annotations

from typing import ClassVar

from optimizer.circuit.loads import BridgeBattery
from optimizer.circuit.loads.bridge_battery import Cell
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import quantity


def _cell(hazard: Cell) -> tuple[str, str]:
    return (
        "No charge control",
        f"The load is a sink of {quantity(hazard.volts, 'V')} behind a bridge and nothing else. A cell joined "
        "so is overcharged, burns or bursts: put a charge controller for its chemistry between, and a fuse.",
    )


class BridgeBatteryWords(KindWords[BridgeBattery]):
    """Of a sink of constant volts."""

    kind = BridgeBattery
    name = "bridge into a sink of constant voltage"
    held = "the sink's own volts"
    best_at = "to a sink of"
    volts = "direct, while it charges"
    cautions: ClassVar = {Cell: _cell}

    def amount(self, load: BridgeBattery) -> str:
        return quantity(load.volts, "V")

    def beside(self, load: BridgeBattery) -> str:
        return f"a bridge into a battery of {self.amount(load)}"


WORDS = BridgeBatteryWords()
