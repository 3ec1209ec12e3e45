"""Where a function of one variable crosses zero: plain, bracketed, sure to end."""

from __future__ import annotations

from collections.abc import Callable


def root_between(
    function: Callable[[float], float],
    low: float,
    high: float,
    tolerance: float,
    ends: tuple[float, float] | None = None,
) -> float:
    """Where `function` changes sign between `low` and `high`, to `tolerance`, in their unit (Illinois, then halving).

    When it has the same sign at both ends, the end at which it is nearer to zero. ends: its values at low and high,
    where they are known.
    """
    at_low, at_high = ends or (function(low), function(high))
    if at_low == 0 or (at_low > 0) == (at_high > 0):
        return low if abs(at_low) <= abs(at_high) else high
    for step in range(200):
        if abs(high - low) <= tolerance or at_high == 0:
            return high
        slack = step > 20 and step % 2
        middle = (low + high) / 2 if slack else high - at_high * (high - low) / (at_high - at_low)
        value = function(middle)
        if (value > 0) == (at_high > 0) and value != 0:
            at_low *= 0.5
        else:
            low, at_low = high, at_high
        high, at_high = middle, value
        if abs(value) < 1e-300:
            break
    return high
