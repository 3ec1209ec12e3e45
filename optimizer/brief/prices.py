"""Prices that a brief may give: the table `[prices]`, all in one currency."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite
from typing import Annotated, TypeAlias

from geometry.files.key_tables import Earlier, Table, key, presence, quantity, refuse, text
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row

Price: TypeAlias = Annotated[float | None, quantity(minimum="0", maximum="1000000")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What things cost, in `currency`; None where it is not known.

    magnet: each. wire_per_m, wire_per_kg: at most one of them; a kilogram is of enamelled wire.
    plastic_per_kg: of what parts are printed with. Raises ValueError for a price below zero, or two for wire.
    """

    currency: str
    magnet: float | None = None
    wire_per_m: float | None = None
    wire_per_kg: float | None = None
    plastic_per_kg: float | None = None

    def __post_init__(self) -> None:
        for field in fields(self)[1:]:
            value = getattr(self, field.name)
            if value is not None and not (isfinite(value) and value >= 0):
                raise ValueError(f"price {field.name} must be zero or more, was {value:g}")
        if self.wire_per_m is not None and self.wire_per_kg is not None:
            raise ValueError("wire_per_m and wire_per_kg must not both be given")


class PricesTable(Table):
    """The table as the file writes it."""

    currency: Annotated[str, text()] = key("currency", meaning="of all prices here")
    magnet: Price = key("magnet", None, meaning="of one", label="One magnet")
    wire_per_m: Price = key("wire_per_m", None, meaning="or `wire_per_kg`", label="Wire, a metre")
    wire_per_kg: Price = key(
        "wire_per_kg", None, meaning="enamelled, without its spool", label="Wire, a kilogram"
    )
    plastic_per_kg: Price = key(
        "plastic_per_kg", None, meaning="of what parts are printed with", label="Plastic, a kilogram"
    )

    @presence("wire_per_kg")
    @staticmethod
    def _one_for_wire(price: object, earlier: Earlier) -> None:
        if price is not None and earlier.data.get("wire_per_m", "a wrong one") is not None:
            refuse("be left out when wire_per_m is given", shown(price))


def prices_of(table: PricesTable) -> Prices:
    """The prices of a valid table."""
    return Prices(**dict(table))


def price_rows(prices: Prices) -> list[Row]:
    """The table's rows in a file."""
    values = {name: getattr(prices, name) for name in PricesTable.model_fields}
    return [
        (name, value if value is None or name == "currency" else decimal_of(value), _said(name))
        for name, value in values.items()
    ]


def _said(name: str) -> str:
    return (PricesTable.model_fields[name].description or "").replace("`", "")
