"""Words for a sink of constant volts behind a bridge."""

from __future__ import annotations

from optimizer.circuit.loads import BridgeBattery
from optimizer.circuit.loads.bridge_battery import Cell
from optimizer.circuit.loads.load import LoadHazard
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.load_study import LoadStudy
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import SPACE, number, quantity


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

    def brief(self, load: BridgeBattery) -> str:
        return f"{self.name}, {quantity(load.volts, 'V')}"

    def beside(self, load: BridgeBattery) -> str:
        return f"a bridge into a battery of {number(load.volts)}{SPACE}V"

    def best(self, load: BridgeBattery, study: LoadStudy, maximum: str, at: str, near: str) -> str:
        return f"The most that the winding gives such a load is {maximum}, to a sink of {at}{near}."

    def caution(self, hazard: LoadHazard) -> tuple[str, str] | None:
        return _cell(hazard) if isinstance(hazard, Cell) else None

    def volts_meaning(self, load: BridgeBattery, source: TheveninSource) -> str:
        return "direct, while it charges"


WORDS = BridgeBatteryWords()
