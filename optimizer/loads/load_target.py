"""What a search may be after when a load is given: the power it gets, or the lowest speed at which it works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from optimizer.circuit.loads import Load
from optimizer.jobs.documents import rounded

TARGETS = ("load_power", "lowest_speed")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTarget:
    """kind: one of `TARGETS`. watts: what the load must get for it to work, W; None: any output counts.

    A converter without `watts` works when it gives all it can. Raises ValueError for another kind, for no load, and
    for watts that are not above zero or more than a converter can give.
    """

    kind: str
    load: Load
    watts: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in TARGETS:
            raise ValueError(f"kind must be one of {', '.join(TARGETS)}, was {self.kind}")
        if not self.load.TAKES_CURRENT:
            raise ValueError("load must take current, was an open circuit")
        if self.watts is not None and not self.watts > 0:
            raise ValueError(f"watts must be above zero, was {self.watts:g}")
        if self.load.limited and (self.watts or 0) > self.load.limited.most_watts:
            raise ValueError(f"watts must be at most what the converter gives, was {self.watts:g}")

    @property
    def needed_watts(self) -> float:
        """What the load must get to work, W; zero where any output counts."""
        limited = self.load.limited
        if limited is None:
            return self.watts or 0.0
        return 0.999 * (limited.most_watts if self.watts is None else self.watts)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadVerdict:
    """What the target gets of the layout that a search for it found.

    value: W for "load_power", rpm for "lowest_speed" (None when the load never works). watts: what the load gets at the
    layout's speed. limit: resistance in Ω within which the layouts beside it have the greatest EMF; None for no limit.
    peak: of the EMF between its terminals at its speed, V. cut_in_rpm: the speed at which its output begins. tried:
    how many layouts were judged; alike: how many of them, it included, have as good a value.
    """

    target: LoadTarget
    value: float | None
    watts: float
    limit: float | None
    peak: float
    cut_in_rpm: float
    alike: int = 1
    tried: int = 1

    def as_dict(self) -> dict[str, Any]:
        """For JSON: W, rpm, Ω and V."""
        return rounded(
            {
                "target": self.target.kind,
                "value": self.value,
                "unit": "W" if self.target.kind == "load_power" else "rpm",
                "load_W": self.watts,
                "resistance_limit_ohm": self.limit,
                "terminal_peak_V": self.peak,
                "starts_at_rpm": self.cut_in_rpm,
            }
        )
