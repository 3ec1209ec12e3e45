"""Why nothing fits a brief, in words."""

from __future__ import annotations

from collections.abc import Collection, Iterable

NO_MAGNETS = "the magnets at hand do not give two to each carrier"
NO_CARRIER = "no two magnets fit on the carrier"
NO_TURN = "not one turn of wire fits in the annulus"
NO_WIRE = "the wire does not suffice for one turn"
CLOSE = "every layout that nearly fits breaks a limit by a hair; widen the tightest of them a little"


def change_words(key: str, needed: float, was: float, unit: str) -> str:
    """A change of one limit that would do, in `unit`, as files are faulted."""
    unit = f" {unit}" if unit else ""
    return f"{key}: must be {'at least' if needed > was else 'at most'} {needed:g}{unit}, was {was:g}{unit}"


def nothing_fits(reasons: Iterable[tuple[str, Collection[object]]]) -> str:
    """Every reason why nothing fits, and the changes that would mend it, a line each."""
    lines = ["nothing fits this brief"]
    for text, changes in reasons:
        if changes:
            lines += [f"{text}; any one of these changes would let a layout fit:", *(f"  {each}" for each in changes)]
        else:
            lines += [text, "  no change of a single limit mends this"]
    return "\n".join(lines)


def count_misses(count: int) -> str:
    """That a number of magnets was tried in vain."""
    return f"no layout with {count} magnets fits"
