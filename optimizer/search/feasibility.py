"""Why nothing fits, and the smallest change of one limit that would let a layout fit.

Four questions in order: are there magnets for every carrier, does any even number of them fit on it, does one turn of
any coil shape fit in the annulus, and is there wire for it. The fewest magnets are the easiest to wind for, so they
stand for all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import ceil, floor, log10

import numpy as np

from geometry.files.schema import file_keys
from optimizer.brief.brief import Brief
from optimizer.numerics.quadrature import even_grid
from optimizer.scan.choices import MOST_MAGNETS, families_of, magnet_counts, scan_grid
from optimizer.scan.kernel import grid_windings
from optimizer.scan.wiring import wiring_of
from optimizer.search.limits import limits_of, with_stock
from optimizer.search.reason_words import (
    CLOSE,
    NO_CARRIER,
    NO_MAGNETS,
    NO_TURN,
    NO_WIRE,
    change_words,
    nothing_fits,
)

BISECTIONS = 26
FEWEST = 2  # numbers of magnets tried, the smallest that the carriers take; three phases may need the second


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One limit whose change alone would do: the brief's key, its unit and value now, and the nearest that would do."""

    key: str
    unit: str
    was: float
    needed: float

    @property
    def share(self) -> float:
        """Relative size of the change."""
        return abs(self.needed - self.was) / max(abs(self.was), 1e-12)

    def __str__(self) -> str:
        return change_words(self.key, self.needed, self.was, self.unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One thing that does not fit, in words, and the changes that would mend it, each alone, the smallest first."""

    text: str
    changes: tuple[Change, ...]


class NothingFits(Exception):  # noqa: N818
    """No layout fits the brief; every one of `reasons` must be mended."""

    def __init__(self, reasons: tuple[Reason, ...]) -> None:
        self.reasons = reasons
        super().__init__(nothing_fits((reason.text, reason.changes) for reason in reasons))


@dataclass(frozen=True, slots=True)
class _Knob:
    """A limit that could be changed: `far` is the most that is worth asking for, in `unit`; whole: by whole numbers."""

    key: str
    unit: str
    was: float
    far: float
    turn: Callable[[float], Brief]
    whole: bool = False

    def middle(self, a: float, b: float) -> float:
        """A value that halves the way between two; one of the two themselves where no whole number lies between."""
        if self.whole:
            return (a + b) // 2
        return float(np.sqrt(a * b)) if min(a, b) > 0 else (a + b) / 2


def explain(brief: Brief) -> tuple[Reason, ...]:
    """What keeps every layout from fitting; the later questions are asked as if the earlier ones were mended."""
    reasons: list[Reason] = []
    for text, question in _QUESTIONS:
        if question(brief):
            continue
        found = [(change, knob) for knob in _knobs(brief) for change in [_needed(knob, question)] if change]
        found.sort(key=lambda pair: pair[0].share)
        reasons.append(Reason(text=text, changes=tuple(change for change, _ in found)))
        if not found:
            break
        brief = found[0][1].turn(found[0][0].needed)
    return tuple(reasons) or (Reason(text=CLOSE, changes=()),)


def stock_suffices(brief: Brief) -> bool:
    """Whether there are two magnets of any kind for each carrier."""
    return any(stock.quantity is None or stock.quantity >= 2 * brief.carriers for stock in brief.magnets)


def carrier_fits(brief: Brief) -> bool:
    """Whether two magnets of any kind fit on the carrier."""
    return any(magnet_counts(brief, stock) for stock in brief.magnets)


def coil_fits(brief: Brief) -> bool:
    """Whether one turn of some wire fits in the annulus, however long."""
    return wire_suffices(replace(brief, length=1e9, resistance=None, spools=()))


def wire_suffices(brief: Brief) -> bool:
    """Whether one turn of some wire fits in the annulus within wire length and resistance."""
    stock = next((stock for stock in brief.magnets if magnet_counts(brief, stock)), brief.magnets[0])
    grid = scan_grid(brief, stock)
    radii = even_grid(brief.space.bore_radius, brief.space.outer_radius, brief.space.outer_radius / 50)
    for count in sorted({count for each in brief.magnets for count in magnet_counts(brief, each)[:FEWEST]}):
        for family in families_of(brief, stock.magnet, count):
            windings = grid_windings(brief, family.topology, family.sectors, grid, radii)
            if wiring_of(brief, family, windings, grid).merit.any():
                return True
    return False


_QUESTIONS: tuple[tuple[str, Callable[[Brief], bool]], ...] = (
    (NO_MAGNETS, stock_suffices),
    (NO_CARRIER, carrier_fits),
    (NO_TURN, coil_fits),
    (NO_WIRE, wire_suffices),
)


def _knobs(brief: Brief) -> Iterator[_Knob]:
    for limit in limits_of(brief):
        was = limit.of(brief)
        if was is not None and limit.far is not None:
            yield _Knob(limit.key, limit.unit, was, limit.far(was), partial(limit.changed, brief), limit.whole)
    for index, stock in enumerate(brief.magnets):
        if stock.quantity is not None:
            yield _quantity_knob(brief, index, stock.quantity)
        inner, _ = stock.magnet.NESTED or ("", "")
        for name in file_keys(type(stock.magnet)):
            if name != inner:
                yield _size_knob(brief, index, name)


def _quantity_knob(brief: Brief, index: int, quantity: int) -> _Knob:
    def stocked(value: float) -> Brief:
        return with_stock(brief, index, replace(brief.magnets[index], quantity=int(value)))

    maximum = MOST_MAGNETS * brief.carriers
    return _Knob(f"magnets[{index + 1}].quantity", "", quantity, max(maximum, quantity), stocked, whole=True)


def _size_knob(brief: Brief, index: int, name: str) -> _Knob:
    stock = brief.magnets[index]
    own, (inner, outer) = file_keys(type(stock.magnet))[name], stock.magnet.NESTED or ("", "")
    unit, scale = ("mm", 1e3) if own.check.milli else ("°", 1.0)

    def smaller(value: float) -> Brief:
        return with_stock(brief, index, replace(stock, magnet=replace(stock.magnet, **{name: value / scale})))

    size = getattr(stock.magnet, name) * scale
    within = getattr(stock.magnet, inner) * scale if name == outer else 0.0
    return _Knob(f"magnets[{index + 1}].{own.name}", unit, size, min(1.0 + within, size), smaller)


def _needed(knob: _Knob, question: Callable[[Brief], bool]) -> Change | None:
    """The value nearest to the knob's own that answers the question with yes, rounded away from it."""
    if knob.far == knob.was or not question(knob.turn(knob.far)):
        return None
    no, yes = knob.was, knob.far
    for _ in range(BISECTIONS):
        middle = knob.middle(no, yes)
        if middle in (no, yes):
            break
        no, yes = (no, middle) if question(knob.turn(middle)) else (middle, yes)
    needed = next((value for value in _rounded(yes, knob) if question(knob.turn(value))), yes)
    return Change(key=knob.key, unit=knob.unit, was=round(knob.was, 6), needed=needed)


def _rounded(value: float, knob: _Knob) -> list[float]:
    """`value` in hundredths of a millimetre, or to three digits, the two nearest away from the knob's own value."""
    if knob.whole:
        return [value]
    step = 0.01 if knob.unit == "mm" else 10.0 ** (floor(log10(value)) - 2)
    away = ceil(value / step - 2e-2) if value > knob.was else -ceil(-value / step - 2e-2)
    outward = 1 if value > knob.was else -1
    return [round((away + outward * extra) * step, 9) for extra in (0, 1)]
