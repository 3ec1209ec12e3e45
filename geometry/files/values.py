"""Values as a file writes them: exact decimals, so that millimetres outside are metres inside to the bit."""

from __future__ import annotations

from decimal import MAX_EMAX, MIN_EMIN, Context, Decimal
from typing import Any, TypeGuard, cast

LONGEST = 40  # characters of a value that a message repeats
_EXACT = Context(prec=60, Emin=MIN_EMIN, Emax=MAX_EMAX, traps=[])
_SHORT = Context(prec=LONGEST, Emin=MIN_EMIN, Emax=MAX_EMAX, traps=[])


def decimal_of(value: float, *, milli: bool = False, micro: bool = False) -> Decimal:
    """The shortest decimal that reads back as `value`; `milli`, `micro`: in thousandths or millionths of its unit."""
    return Decimal(repr(float(value))).scaleb(_places(milli, micro), _EXACT)


def float_of(value: Decimal, *, milli: bool = False, micro: bool = False) -> float:
    """The float nearest to `value`; with `milli` or `micro`, to its thousandth or millionth (mm to m, µF to F)."""
    places = _places(milli, micro)
    return float(value.scaleb(-places, _EXACT) if places else value)


def _places(milli: bool, micro: bool) -> int:
    """Decimal places between the file's unit and the SI unit."""
    return 3 * milli + 6 * micro


def number_text(value: Decimal) -> str:
    """`value` as TOML writes it, without idle zeros."""
    if not value.is_finite():
        return str(value).lower().replace("infinity", "inf")
    if value == 0:
        return "0"
    value = value.normalize(_SHORT)
    return f"{value:f}" if -7 <= value.adjusted() <= 15 else f"{value:e}"


def shown(value: object) -> str:
    """A value read from a TOML file, as a message repeats it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, int | float | Decimal):
        return _shown_number(value)
    if isinstance(value, list):
        return "a list"
    return "a table" if isinstance(value, dict) else "a date or time"


def quoted(text: str) -> str:
    """`text` in quotes, on one line and shortened."""
    short = text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"
    return '"' + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in short) + '"'


def _shown_number(value: float | Decimal) -> str:
    if isinstance(value, int) and value.bit_length() >= 1000:
        return "a number of more than 300 digits"
    return number_text(decimal_of(value) if isinstance(value, float) else Decimal(value))


def is_list(value: object) -> TypeGuard[list[Any]]:
    """Whether a value is a list, of whatever entries."""
    return isinstance(value, list)


def is_table(value: object) -> TypeGuard[dict[str, Any]]:
    """Whether a value is a table: a dict with texts for keys."""
    return isinstance(value, dict) and all(isinstance(key, str) for key in cast("dict[object, object]", value))
