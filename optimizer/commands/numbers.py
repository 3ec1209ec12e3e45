"""Numbers on the command line."""

from __future__ import annotations

from math import isnan
from typing import Any

import click


class Number(click.FloatRange):
    """A range that "nan" is outside of."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number, or a fault in words."""
        number = float(super().convert(value, param, ctx))
        if isnan(number):
            self.fail(f"must be a number from {self.min:g} to {self.max:g}, was {value}", param, ctx)
        return number
