"""Numbers as people read them: three significant digits, a unit, a true minus sign."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, isfinite, log10
from typing import NamedTuple

NOTHING = "–"  # in a table, where there is no figure
SPACE = "\u00a0"  # does not break between number and unit
DIGITS = 3

RowOfWords = tuple[str, str, str]  # name, value, remark


class TableOfWords(NamedTuple):
    """A table as terminal, page and reports show it: heads of its columns, its rows, and which row is marked."""

    heads: tuple[str, ...]
    rows: tuple[Sequence[str], ...]
    mark: int | None = None


def number(value: float, digits: int = DIGITS) -> str:
    """`value`, of any unit, to `digits` significant digits without powers of ten: 9.22, 60.0, 1230, 0.00412, −1.38."""
    if not isfinite(value) or value == 0:
        return "0" if value == 0 else "–"
    rounded = float(f"{value:.{digits - 1}e}")
    decimals = max(digits - 1 - floor(log10(abs(rounded))), 0)
    return f"{rounded:.{decimals}f}".replace("-", "−")


def quantity(value: float, unit: str, digits: int = DIGITS) -> str:
    """A number with its unit; an empty unit adds nothing."""
    return f"{number(value, digits)}{SPACE}{unit}" if unit else number(value, digits)


def watts_text(watts: float) -> str:
    """Power in W, small ones in mW."""
    return quantity(watts * 1e3, "mW") if 0 < watts < 0.1 else quantity(watts, "W")


def amps_text(amps: float) -> str:
    """Current in A, small ones in mA."""
    return quantity(amps * 1e3, "mA") if 0 < amps < 0.1 else quantity(amps, "A")


def duration(seconds: float) -> str:
    """A time as people say it: 0.8 s, 12 s, 3.4 min, 2.6 h, 5.1 days."""
    for unit, length, maximum in (("s", 1.0, 120.0), ("min", 60.0, 7200.0), ("h", 3600.0, 172800.0)):
        if seconds < maximum:
            return quantity(seconds / length, unit, 2 if seconds / length < 100 else 3)
    return quantity(seconds / 86400, "days", 3)


def size_mm(value: float) -> str:
    """A length in mm as a workshop sets it: to a hundredth, without needless zeros."""
    return f"{round(value, 2):g}{SPACE}mm"


def unbroken(text: str) -> str:
    """A short text that no line break may part."""
    return text.replace(" ", SPACE)


def plain(text: str) -> str:
    """A text for a terminal or for JSON: with common spaces alone."""
    return text.replace(SPACE, " ")


def percent(share: float) -> str:
    """A share as per cent: "8.2 %", whole from 10 % up; what would print as nothing is "below 0.01 %"."""
    size = abs(share) * 100
    if 0 < size < 0.005:
        return f"below{SPACE}0.01{SPACE}%"
    decimals = 0 if size >= 9.95 or size == 0 else 1 if size >= 0.995 else 2
    return f"{size:.{decimals}f}{SPACE}%"


def signed_percent(share: float) -> str:
    """A relative change with its sign: "+8.2 %", "−1.4 %", "0 %"."""
    if abs(share) < 5e-5:
        return f"0{SPACE}%"
    return ("+" if share > 0 else "−") + percent(share)


def difference(value: float, base: float) -> str:
    """How `value` stands to `base`: "72 % more", "28 % less", "the same"."""
    share = value / base - 1
    if abs(share) < 5e-4:
        return "the same"
    return f"{percent(share)} {'more' if share > 0 else 'less'}"


def compared(value: float, base: float, noun: str, other: str) -> str:
    """`value` of a noun beside another's `base`: "72 % more EMF than the other"."""
    words = difference(value, base)
    if words == "the same":
        return f"as much {noun} as {other}"
    return f"{words} {noun} than {other}"


def many(count: float) -> str:
    """A large count: "15.9 million", "12 300"."""
    if count >= 1e6:
        return f"{number(count / 1e6)}{SPACE}million"
    return f"{count:,.0f}".replace(",", SPACE)


def plural(count: int, word: str) -> str:
    """The count with its word: "1 coil", "16 coils"."""
    return f"{count}{SPACE}{word}" + ("" if count == 1 else "s")
