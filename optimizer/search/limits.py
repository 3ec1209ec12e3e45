"""The numeric limits of a brief in one table: what may be asked of someone who could change them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from geometry.machine.layout import LARGEST
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet

FULLEST = 0.9  # fill factor


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit by its key in the brief's file, in `unit`, `scale` of which make the unit of the brief's field `name`.

    wider: by about what one could do about it. far: the most that is worth asking for; None for a limit that keeps
    nothing from fitting. whole: by whole numbers.
    """

    key: str
    name: str
    unit: str
    scale: float
    wider: Callable[[float], float]
    far: Callable[[float], float] | None
    whole: bool = False

    def of(self, brief: Brief) -> float | None:
        """Its value in `unit`, None where the brief has no such limit."""
        value = getattr(brief.space if self._in_space else brief, self.name)
        return None if value is None else value * self.scale

    def changed(self, brief: Brief, value: float) -> Brief:
        """The brief with another value, in `unit`."""
        field = {self.name: int(value) if self.whole else value / self.scale}
        return replace(brief, space=replace(brief.space, **field)) if self._in_space else replace(brief, **field)

    @property
    def _in_space(self) -> bool:
        return self.name in ("outer_diameter", "bore_diameter", "wall")


@dataclass(frozen=True, slots=True)
class SpoolLimit(Limit):
    """The length of a spool, by its entry from 0."""

    entry: int = 0

    def of(self, brief: Brief) -> float:
        """m."""
        return brief.spools[self.entry].length

    def changed(self, brief: Brief, value: float) -> Brief:
        """The brief with a longer spool, m."""
        spools = [*brief.spools]
        spools[self.entry] = replace(spools[self.entry], length=value)
        return replace(brief, spools=tuple(spools))


LIMITS = (
    Limit("space.outer_diameter_mm", "outer_diameter", "mm", 1e3, lambda mm: mm + 2, lambda mm: LARGEST * 1e3),
    Limit("space.bore_diameter_mm", "bore_diameter", "mm", 1e3, lambda mm: mm - min(2, mm / 2), lambda mm: min(1, mm)),
    Limit("space.wall_mm", "wall", "mm", 1e3, lambda mm: max(mm - 0.5, 0), lambda mm: 0),
    Limit("space.air_gap_mm", "air_gap", "mm", 1e3, lambda mm: mm - min(0.2, mm / 5), None),
    Limit("space.coil_height_mm", "coil_height", "mm", 1e3, lambda mm: mm + 1, lambda mm: 10 * mm),
    Limit("wire.peg_diameter_mm", "peg_radius", "mm", 2e3, lambda mm: mm * 0.75, lambda mm: min(0.5, mm)),
    Limit("wire.fill_factor", "fill_factor", "", 1, lambda share: min(share + 0.05, FULLEST), lambda share: FULLEST),
    Limit("coil.least_layers", "least_layers", "", 1, lambda wires: max(wires - 1, 1), lambda wires: 1, whole=True),
    Limit("wire.length_m", "length", "m", 1, lambda metres: metres * 1.1, lambda metres: 1e6),
    Limit("wire.resistance_ohm", "resistance", "Ω", 1, lambda ohms: ohms * 1.1, lambda ohms: 1e6),
)


def limits_of(brief: Brief, wire: Wire | None = None) -> list[Limit]:
    """All limits that a brief might have, its spools among them: of those, where `wire` is given, its longest alone."""
    own = [spool for spool in brief.spools if wire and spool.wire == wire.strand]
    longest = max(own, key=lambda spool: spool.length, default=None)
    shown = [entry for entry, spool in enumerate(brief.spools) if wire is None or spool is longest]
    return [*LIMITS, *map(_spool_limit, shown)]


def _spool_limit(entry: int) -> SpoolLimit:
    key = f"spools[{entry + 1}].length_m"
    return SpoolLimit(key, "", "m", 1, lambda metres: metres * 1.1, lambda metres: 1e6, entry=entry)


def with_stock(brief: Brief, entry: int, stock: StockMagnet) -> Brief:
    """The brief with another entry of its stock of magnets, from 0."""
    return replace(brief, magnets=(*brief.magnets[:entry], stock, *brief.magnets[entry + 1 :]))
