"""What steel plates do to the figures, and how far the computed field may be off, in words."""

from __future__ import annotations

from optimizer.figures import Figures
from optimizer.wording import number, quantity, size_mm

SPACE = "\u00a0"


def share(value: float) -> str:
    """A share of a few percent to a tenth of one."""
    return f"{value * 100:.1f}{SPACE}%"


def plate_words(thickness_mm: float, needed_mm: float, factors: tuple[float, float, float]) -> str:
    """Whether a plate carries the flux; factors: least, middle and greatest share of the EMF that it leaves."""
    if thickness_mm >= needed_mm:
        return _verdict(thickness_mm, needed_mm)
    low, middle, high = (share(factor) for factor in factors)
    if middle == share(1):
        return (
            f"{_verdict(thickness_mm, needed_mm)}, but only just: expect all of the EMF, {low} at the least"
        )
    return f"{_verdict(thickness_mm, needed_mm)}: expect {middle} of the EMF ({low} to {high})"


def _verdict(thickness_mm: float, needed_mm: float) -> str:
    plate, needed = size_mm(thickness_mm), quantity(needed_mm, "mm", 2)
    if thickness_mm >= needed_mm:
        return f"{plate} of steel behind the magnets carries their flux, which asks for {needed}"
    return f"{plate} of steel is less than the {needed} that the magnets' flux asks for"


def steel_sentence(figures: Figures) -> str | None:
    """The plate's check, with the derated EMF where the plate is too thin; None without plates."""
    low, middle, high = figures.plate_derating_min, figures.plate_derating, figures.plate_derating_max
    if figures.plate_needed_mm is None or low is None or middle is None or high is None:
        return None
    verdict, volts = _verdict(figures.plate_mm, figures.plate_needed_mm), figures.emf_rms_V
    if figures.plate_mm >= figures.plate_needed_mm:
        return verdict
    if number(volts * middle) == number(volts):
        least = "" if number(volts * low) == number(volts) else f", {quantity(volts * low, 'V')} at the least"
        return f"{verdict}, but only just: expect {quantity(volts, 'V')} rms all the same{least}"
    band = f"{number(volts * low)} to {quantity(volts * high, 'V')}"
    return f"{verdict}: expect {quantity(volts * middle, 'V')} rms ({band}), not {quantity(volts, 'V')}"


def error_sentence(figures: Figures) -> str | None:
    """How far the computed field was off finite elements at most; None where none were run."""
    if figures.field_error is None:
        return None
    of_what = "" if figures.plate_needed_mm is None else ", of machines with such a plate"
    return f"the field was within {share(figures.field_error)} of finite elements{of_what}"
