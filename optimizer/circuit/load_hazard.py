"""What a load may see and how that can hurt: known without any kind of load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """What a load may see. peak: V between two ends at `rpm` with nothing joined. volts, amps: the highest means at the
    load while it is joined, V and A."""

    peak: float
    rpm: float
    volts: float = 0.0
    amps: float = 0.0


class LoadHazard:
    """Something that can hurt people or things, of one kind of load. kind: its name in JSON."""

    __slots__ = ()
    kind: ClassVar[str]
