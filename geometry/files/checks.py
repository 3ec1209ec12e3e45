"""What constructors ask of their numbers, in the same words everywhere."""

from __future__ import annotations

from math import isfinite


def require_positive(owner: object, *names: str) -> None:
    """Raise ValueError unless each of the named attributes is finite and above zero, or None."""
    for name in names:
        value = getattr(owner, name)
        if value is not None and not (isfinite(value) and value > 0):
            raise ValueError(f"{name} must be above zero, was {value:g}")


def require_not_negative(owner: object, *names: str) -> None:
    """Raise ValueError unless each of the named attributes is finite and at least zero, or None."""
    for name in names:
        value = getattr(owner, name)
        if value is not None and not (isfinite(value) and value >= 0):
            raise ValueError(f"{name} must not be below zero, was {value:g}")
