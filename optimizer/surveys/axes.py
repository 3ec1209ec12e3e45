"""The quantities a sweep varies: a dotted key and its values, as people write them on a command line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TypeAlias

from geometry.files.values import number_text

MOST_POINTS = 100_000
KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(\[[1-9][0-9]*\])?(\.[A-Za-z_][A-Za-z0-9_]*(\[[1-9][0-9]*\])?)*")

Setting: TypeAlias = Decimal | str


class SweepFault(ValueError):  # noqa: N818 - told to the person, not a failure of ours
    """An axis that is none; the message says what it must be and what it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One quantity and its values. key: dotted, list entries counted from 1; values: distinct, at least one."""

    key: str
    values: tuple[Setting, ...]

    def __post_init__(self) -> None:
        if not KEY.fullmatch(self.key):
            raise SweepFault(f"a sweep's key must be dotted, as space.air_gap_mm, was {self.key!r}")
        if not self.values or len(set(self.values)) < len(self.values):
            raise SweepFault(
                f"{self.key}: the values must be distinct and at least one, were {_listed(self.values)}"
            )

    @property
    def path(self) -> tuple[str | int, ...]:
        """The key's parts, list entries counted from 0."""
        return key_path(self.key)

    @property
    def numeric(self) -> bool:
        """Whether all values are numbers."""
        return all(isinstance(value, Decimal) for value in self.values)


def read_axis(written: str) -> Axis:
    """The axis of ``key=low:high:count`` or ``key=value,value,…``; raises SweepFault.

    A range includes its ends; the values between are rounded to six digits.
    """
    key, equals, values = (part.strip() for part in written.partition("="))
    if not equals or not values:
        raise SweepFault(f"a sweep must be KEY=LOW:HIGH:COUNT or KEY=VALUE,VALUE,…, was {written!r}")
    if values.count(":") == 2:
        return Axis(key=key, values=tuple(_spread(key, *values.split(":"))))
    return Axis(key=key, values=tuple(_setting(value.strip()) for value in values.split(",")))


def _spread(key: str, low: str, high: str, count: str) -> Iterator[Decimal]:
    ends = [_setting(end.strip()) for end in (low, high)]
    steps = int(count) if count.strip().isdecimal() and len(count) < 10 else 0
    if not 2 <= steps <= MOST_POINTS or not all(isinstance(end, Decimal) for end in ends):
        must = f"must be LOW:HIGH:COUNT, two numbers and a count from 2 to {MOST_POINTS}"
        raise SweepFault(f"{key}: {must}, was {low}:{high}:{count}")
    first, last = (Decimal(end) for end in ends)
    for step in range(steps):
        value = first + (last - first) * step / (steps - 1)
        yield (value if step in (0, steps - 1) else Decimal(f"{value:.6g}")).normalize()


def _setting(text: str) -> Setting:
    try:
        number = Decimal(text)
    except InvalidOperation:
        return text.strip("\"'")
    if not number.is_finite():
        raise SweepFault(f"a sweep's values must be finite numbers or texts, was {text}")
    return number.normalize()


def _listed(values: Sequence[Setting]) -> str:
    return ", ".join(map(setting_text, values)) or "none"


def setting_text(value: Setting) -> str:
    """A value as people write it."""
    return number_text(value) if isinstance(value, Decimal) else value


def key_path(key: str) -> tuple[str | int, ...]:
    """The parts of a dotted key, list entries counted from 0."""
    parts: list[str | int] = []
    for name, entry in re.findall(r"(\w+)(?:\[(\d+)\])?", key):
        parts += [name, int(entry) - 1] if entry else [name]
    return tuple(parts)
