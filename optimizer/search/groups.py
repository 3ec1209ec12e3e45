"""The search's work in units for any executor: all layouts of one number of magnets, then one group of families."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias, TypeVar

from optimizer.brief.brief import Brief
from optimizer.jobs.chunks import Run, run_units
from optimizer.scan.choices import Candidate, Family
from optimizer.scan.scan import counts_of, scan
from optimizer.search.refine import STARTS, Finals, by_family
from optimizer.search.result import Entry

Starts: TypeAlias = tuple[Candidate, ...]
K = TypeVar("K", bound=Hashable)


@dataclass(frozen=True, slots=True)
class CountUnit:
    """One number of magnets, of every kind and coil shape."""

    brief: Brief
    count: int


@dataclass(frozen=True, slots=True)
class Followed:
    """What came of a number of magnets: its best machine, if any, all that led to it, and how many layouts it had.

    families: the starts, best first, of each family that are followed at most.
    """

    families: tuple[Starts, ...]
    considered: int
    finals: Finals
    best: Entry | None


@dataclass(frozen=True, slots=True)
class GroupUnit:
    """Families, best first, of which the best machine is asked for, and what is known of them."""

    families: tuple[Starts, ...]
    finals: Finals


def followed_count(unit: CountUnit) -> Followed:
    """The scan of a number of magnets, and the best that it leads to."""
    scanned, finals = scan(unit.brief, only=unit.count), Finals(unit.brief)
    families = tuple(tuple(starts[:STARTS]) for starts in by_family(scanned.starts).values())
    return Followed(families, scanned.considered, finals, finals.best_of(families))


def best_of_group(unit: GroupUnit) -> tuple[Finals, Entry | None]:
    """The best machine of a group of families."""
    return unit.finals, unit.finals.best_of(unit.families)


def by_count(brief: Brief, run: Run, finals: Finals) -> dict[int, Followed]:
    """Every number of magnets of a brief, followed; what is learned goes to `finals`, which hears of each best."""

    def heard(found: Followed) -> None:
        finals.learn(found.finals)

    units = [CountUnit(brief, count) for count in counts_of(brief)]
    found = run_units(followed_count, units, replace(run, journal=None), heard=heard)
    return {unit.count: each for unit, each in zip(units, found, strict=True)}


def by_kind(families: Iterable[Starts], kind: Callable[[Family], K], run: Run, finals: Finals) -> dict[K, Entry]:
    """The best machine of each kind of family that has one; families: best first."""
    groups: dict[K, list[Starts]] = {}
    for starts in families:
        groups.setdefault(kind(starts[0].family), []).append(starts)
    units = [GroupUnit(tuple(group), finals.quiet()) for group in groups.values()]
    found: Sequence[tuple[Finals, Entry | None]] = run_units(
        best_of_group, units, replace(run, journal=None), heard=lambda pair: finals.learn(pair[0])
    )
    return {key: entry for key, (_, entry) in zip(groups, found, strict=True) if entry is not None}
