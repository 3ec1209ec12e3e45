"""Words for a supercapacitor behind a bridge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import Supercapacitor
from optimizer.circuit.loads.supercapacitor import Overcharge
from optimizer.words.loads.words_of_kind import KindWords
from optimizer.words.wording import SPACE, RowOfWords, duration, number, quantity

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy


def _overcharge(hazard: Overcharge) -> tuple[str, str]:
    return (
        "Nothing stops the charge",
        f"The supercapacitor is to have {quantity(hazard.wanted, 'V')}, and behind this bridge it goes on to "
        f"{quantity(hazard.reached, 'V')} at {number(hazard.rpm)}{SPACE}rpm, more the faster it turns. Above its rated "
        "volts it ages fast, leaks or bursts: put a clamp or a charge controller for its rated volts between, and "
        "balance cells in series.",
    )


class SupercapacitorWords(KindWords[Supercapacitor]):
    """Of a supercapacitor."""

    kind = Supercapacitor
    name = "bridge into a supercapacitor"
    held = "the volts that it begins with"
    at = "mean, at the supercapacitor halfway up"
    gets = "The supercapacitor gets"
    begins = "Charging begins"
    best_of = "such a capacitor on its way up"
    volts = "direct, at the supercapacitor halfway up"
    cautions: ClassVar = {Overcharge: _overcharge}

    def amount(self, load: Supercapacitor) -> str:
        return f"{quantity(load.farads, 'F')} {self._way(load)}"

    def _way(self, load: Supercapacitor) -> str:
        return f"from {number(load.from_volts)} to {quantity(load.to_volts, 'V')}"

    def given_rows(self, load: Supercapacitor, study: LoadStudy) -> Iterator[RowOfWords]:
        yield from super().given_rows(load, study)
        details, volts = study.details, self._way(load)
        stored = f"{quantity(details['stored_J'], 'J')} stored"
        if details["charging_s"] is not None:
            yield "Charging", duration(details["charging_s"]), f"{volts} at this speed, {stored}"
        else:
            ends, needed = quantity(details["charged_to_V"], "V"), number(details["charges_above_rpm"])
            yield "Charging", f"ends at {ends}", f"{stored}; {volts} only above {needed} rpm"

    def verdict(self, load: Supercapacitor, point: LoadPoint) -> str:
        return "halfway up, where its volts are the mean of the first and the last"

    def findings(self, load: Supercapacitor, details: Mapping[str, Any], rpm: float) -> Iterator[str]:
        end, stored, at = details["charged_to_V"], details["stored_J"], f"{number(rpm)} rpm"
        wanted, first = quantity(load.to_volts, "V"), quantity(load.from_volts, "V")
        needed = f"above {number(details['charges_above_rpm'])} rpm it would come to {wanted}"
        if (seconds := details["charging_s"]) is not None:
            yield (
                f"Charging it from {first} to {wanted} takes {duration(seconds)} at {at}, and stores "
                f"{quantity(stored, 'J')}."
            )
        elif stored > 0:
            yield (
                f"It never comes to {wanted}: at {at} the charge ends at {quantity(end, 'V')} with "
                f"{quantity(stored, 'J')} more stored; {needed}."
            )
        else:
            yield f"It is not charged at all at {at}: {needed}."
        yield (
            f"Its volts do not rise within this run: all along it stands halfway between {first} and the volts that "
            "it comes to."
        )


WORDS = SupercapacitorWords()
