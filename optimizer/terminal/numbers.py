"""Numbers on the command line."""

from __future__ import annotations

from typing import Any

import click


class Number(click.FloatRange):
    """A finite number from `min` to `max`."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number, or a fault in words."""
        try:
            number = float(value)
        except ValueError:
            number = float("nan")
        assert self.min is not None
        assert self.max is not None
        if not self.min <= number <= self.max:
            self.fail(f"must be a number from {self.min:g} to {self.max:g}, was {value}", param, ctx)
        return number


class WholeNumber(click.IntRange):
    """A whole number from `min` to `max`."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """The number, or a fault in words."""
        assert self.min is not None
        assert self.max is not None
        try:
            number = int(value)
        except ValueError:
            number = None
        if number is None or not self.min <= number <= self.max:
            self.fail(f"must be a whole number from {self.min} to {self.max}, was {value}", param, ctx)
        return number
