"""Sweeps: one or two quantities of a brief varied, each point a full search or the winner's own layout again.

Keys are those of the brief's file (``space.air_gap_mm``, ``magnets[1].thickness_mm``) and are judged by its reader.
``carrier.count`` is understood as well: the best layout with just that many magnets. A fixed sweep finds the brief's
winner once and changes that layout alone; it takes the brief's keys that a layout has, and all keys of a layout's file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from itertools import product
from typing import Any, TypeAlias, TypeVar

from geometry.files.reading import Fault, FileFaults
from geometry.files.values import is_table, number_text
from geometry.files.writing import with_value
from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.evaluation.chain import evaluate, figures_document
from optimizer.jobs.chunks import HERE, Run, run_units
from optimizer.search.feasibility import NothingFits
from optimizer.search.result import Entry
from optimizer.search.search import winner

COUNT = "carrier.count"
MOST_FAULTS = 20
MOST_POINTS = 100_000
KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(\[[1-9][0-9]*\])?(\.[A-Za-z_][A-Za-z0-9_]*(\[[1-9][0-9]*\])?)*")
NONE_TRIED = "no layout that was tried fits the room and the wire"
LAYOUT_KEYS = {
    "space.air_gap_mm": "operation.air_gap_mm",
    "speed.rpm": "operation.speed_rpm",
    "wire.diameters_mm": "winding.wire.diameter_mm",
    "wire.enamel_grade": "winding.wire.enamel_grade",
    "wire.fill_factor": "winding.fill_factor",
    "wire.peg_diameter_mm": "winding.peg_diameter_mm",
    "coil.topologies": "winding.topology",
}
"""Keys of a brief, and the keys of the layout file that mean the same."""

EACH_PHASE = ("phase_emf_rms_V", "line_emf_rms_V")
"""Figures that are lists: a table of sweeps goes without."""

T = TypeVar("T")
Setting: TypeAlias = Decimal | str
At = tuple[Setting, ...]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepPoint:
    """One point: the axes' values there, and the best layout, or None with the reason; layouts considered."""

    at: At
    entry: Entry | None
    reason: str = ""
    considered: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """A finished sweep. brief: as it is without the sweep; points: the first axis slowest."""

    brief: Brief
    axes: tuple[Axis, ...]
    fixed: bool
    points: tuple[SweepPoint, ...]

    def rows(self) -> list[dict[str, Any]]:
        """A tidy table for a notebook: one flat dictionary per point, all with the same keys, None where nothing is."""
        return alike(self._row(point) for point in self.points)

    def _row(self, point: SweepPoint) -> dict[str, Any]:
        values = [plain_setting(value) for value in point.at]
        keys = dict(zip((axis.key for axis in self.axes), values, strict=True))
        return {
            **keys,
            "fits": point.entry is not None,
            "reason": point.reason,
            **flat_figures(point.entry),
        }

    @property
    def considered(self) -> int:
        """Layouts considered, all points together."""
        return sum(point.considered for point in self.points)


def alike(rows: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Rows of a tidy table: every row gets every key, None where it has no value."""
    rows = list(rows)
    keys = dict.fromkeys(key for row in rows for key in row)
    return [{key: row.get(key) for key in keys} for row in rows]


def plain_setting(value: Setting) -> float | int | str:
    """A value, of any unit, as JSON and tables hold it."""
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    return value


def flat_figures(entry: Entry | None) -> dict[str, Any]:
    """An entry's figures without nesting or lists, the magnet's with `magnet_` before their names; {} for None."""
    flat: dict[str, Any] = {}
    for name, value in (figures_document(entry.figures) if entry else {}).items():
        if name in EACH_PHASE:
            continue
        if is_table(value):
            flat |= {f"{name}_{inner}": each for inner, each in value.items()}
        else:
            flat[name] = value
    return flat


def sweep(
    brief: Brief | str, axes: Sequence[Axis], *, name: str = "brief", fixed: bool = False, run: Run = HERE
) -> Sweep:
    """The best layout at every point of one or two axes.

    brief: a brief, or the text of its file, which `name` stands for in messages. fixed: whether the brief's winner is
    evaluated at every point instead of a search. run: executor, progress, stop and journal. Raises FileFaults for
    what the file's reader refuses, SweepFault for axes that are none, NothingFits when a fixed sweep has no winner.
    """
    text = brief if isinstance(brief, str) else brief_text(brief)
    base = brief_from_text(text, name)
    _check(axes)
    at = list(product(*(axis.values for axis in axes)))
    if fixed:
        winning = layout_text(winner(base)[0].layout)
        layouts = _all_read(at, lambda values: _layout_at(winning, axes, values))
        points = run_units(evaluated_point, list(zip(at, layouts, strict=True)), run)
    else:
        searches = _all_read(at, lambda values: _search_at(text, name, axes, values))
        points = run_units(searched_point, list(zip(at, searches, strict=True)), run)
    return Sweep(brief=base, axes=tuple(axes), fixed=fixed, points=tuple(points))


def _check(axes: Sequence[Axis]) -> None:
    if not 1 <= len(axes) <= 2:
        raise SweepFault(f"a sweep must have one axis or two, was {len(axes)}")
    if len({axis.key for axis in axes}) < len(axes):
        raise SweepFault(f"the two axes of a sweep must differ, were both {axes[0].key}")


def _all_read(at: Sequence[At], read: Callable[[At], T]) -> list[T]:
    """What `read` makes of every point; all faults of all points at once."""
    made: list[T] = []
    faults: dict[tuple[str, str], Fault] = {}
    for values in at:
        try:
            made.append(read(values))
        except FileFaults as found:
            for fault in found.faults:
                faults.setdefault((fault.key, fault.message), fault)
    if faults:
        raise FileFaults(tuple(faults.values())[:MOST_FAULTS])
    return made


@dataclass(frozen=True, slots=True)
class Search:
    """What a point of a search sweep asks: the best layout of a brief, with just `count` magnets when it is given."""

    brief: Brief
    count: int | None


def _search_at(text: str, name: str, axes: Sequence[Axis], values: At) -> Search:
    count: int | None = None
    settings: list[str] = []
    for axis, value in zip(axes, values, strict=True):
        if axis.key == COUNT:
            count = _count_of(value)
        else:
            settings.append(f"{axis.key} = {setting_text(value)}")
            text = _with(text, name, axis.key, value)
    told = f"{name} ({', '.join(settings)})" if settings else name
    return Search(brief_from_text(text, told), count)


def _count_of(value: Setting) -> int:
    if not isinstance(value, Decimal) or value % 2 or not 2 <= value <= 1000:
        raise SweepFault(f"{COUNT} must be an even whole number from 2 to 1000, was {setting_text(value)}")
    return int(value)


def _layout_at(text: str, axes: Sequence[Axis], values: At) -> Layout:
    told = ", ".join(f"{axis.key} = {setting_text(v)}" for axis, v in zip(axes, values, strict=True))
    for axis, value in zip(axes, values, strict=True):
        text = _with(text, "the winner's layout", layout_key(axis.key), value)
    try:
        return layout_from_text(text, f"the winner's layout ({told})")
    except ValueError as error:
        raise SweepFault(f"{told}: {error}") from error


def layout_key(key: str) -> str:
    """The key of the layout file that means what a brief's key means; keys of a layout stay as they are."""
    first, *rest = key.split(".", 1)
    if first.startswith("magnets[") and rest:
        return f"carrier.magnet.{rest[0]}"
    return LAYOUT_KEYS.get(key, key)


def _with(text: str, name: str, key: str, value: Setting) -> str:
    try:
        return with_value(text, key_path(key), value)
    except LookupError:
        raise FileFaults(
            (Fault(name, None, key, "must be a key of this file to be swept, was not there"),)
        ) from None


def searched_point(unit: tuple[At, Search]) -> SweepPoint:
    """A full search at one point."""
    at, asked = unit
    try:
        entry, considered = winner(asked.brief, asked.count)
    except NothingFits as nothing:
        words = "; ".join(reason.text for reason in nothing.reasons)
        return SweepPoint(at=at, entry=None, reason=words or NONE_TRIED)
    return SweepPoint(at=at, entry=entry, considered=considered)


def evaluated_point(unit: tuple[At, Layout]) -> SweepPoint:
    """One layout evaluated as it is."""
    at, layout = unit
    broken = violations(layout) or overlaps(layout)
    if broken:
        return SweepPoint(at=at, entry=None, reason="; ".join(map(str, broken)), considered=1)
    return SweepPoint(at=at, entry=Entry(evaluate(layout)), considered=1)
