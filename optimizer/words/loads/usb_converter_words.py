"""Words for a converter behind a bridge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import UsbConverter
from optimizer.circuit.loads.usb_converter import ConverterInput
from optimizer.words.draw_words import draw_words
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import SPACE, RowOfWords, number, percent, quantity, watts_text

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy


def _input(hazard: ConverterInput) -> tuple[str, str]:
    unplugged = f"{quantity(hazard.unplugged, 'V')} peak at {number(hazard.rpm)}{SPACE}rpm once its output is unplugged"
    loaded = f"{quantity(hazard.loaded, 'V')} with the load on, and " if hazard.loaded else ""
    sees = f"behind the bridge its input sees up to {loaded}{unplugged}; more the faster it turns"
    mend = "a converter that bears more, fewer turns, or a clamp across its input"
    if hazard.bears is None:
        return (
            "What does the converter bear?",
            f"Its key most_input_V is not given, and {sees}. Small converters bear 5.5 or 6.5{SPACE}V: look yours up, "
            f"and take {mend}, should it bear less.",
        )
    return (
        "Too many volts for the converter",
        f"Its input bears {quantity(hazard.bears, 'V')}, and {sees}. It breaks, and may pass those volts on to what it "
        f"charges: take {mend}.",
    )


class UsbWords(KindWords[UsbConverter]):
    """Of a converter."""

    kind = UsbConverter
    name = "bridge into a converter"
    held = "the least that the converter takes"
    at = "at the converter's input"
    waves = "converter's input"
    gets = "The winding gives"
    volts = "direct, at the converter's output"
    cautions: ClassVar = {ConverterInput: _input}

    def amount(self, load: UsbConverter) -> str:
        given = f"{quantity(load.output, 'V')}, {quantity(load.most_watts, 'W')} at most"
        return f"from {quantity(load.least_input, 'V')} or more to {given}"

    def brief(self, load: UsbConverter) -> str:
        return f"{self.name} {self.amount(load)}"

    def beside(self, load: UsbConverter) -> str:
        output, minimum = number(load.output), number(load.least_input)
        return f"a converter to {output}{SPACE}V that starts at {minimum}{SPACE}V"

    def lost_rows(self, load: UsbConverter, point: LoadPoint) -> Iterator[RowOfWords]:
        yield "Lost in the converter", watts_text(point.converter_watts), f"efficiency {percent(load.efficiency)}"

    def verdict(self, load: UsbConverter, point: LoadPoint) -> str:
        return "all that it can give" if point.full else "not all it could give: its input sinks to the least it takes"

    def best(self, load: UsbConverter, study: LoadStudy, maximum: str, at: str, near: str) -> str:
        behind = f"{maximum}, with the converter's input at {at}"
        drawn = draw_words(study.draw) if study.draw else ()
        return " ".join([f"The most that the winding gives behind its bridge is {behind}.", *drawn])


WORDS = UsbWords()
