"""Prices that a brief may give: the table `[prices]`, all in one currency."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.files.key_tables import quantity, text
from geometry.files.keyed import keyed, require_keyed, table_of
from geometry.stock.wire import Wire

PRICE = quantity(minimum="0", maximum="1000000")


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What things cost, in `currency`; None where it is not known. A kilogram is of enamelled wire.

    Raises ValueError for a price below zero, or two for wire.
    """

    currency: str = keyed("currency", text(), "of all prices here")
    magnet: float | None = keyed("magnet", PRICE, "of one", "One magnet", default=None)
    wire_per_m: float | None = keyed(
        "wire_per_m", PRICE, "or `wire_per_kg`", "Wire, a metre", default=None, comment="or wire_per_kg"
    )
    wire_per_kg: float | None = keyed(
        "wire_per_kg", PRICE, "enamelled, without its spool", "Wire, a kilogram", default=None, unless="wire_per_m"
    )
    plastic_per_kg: float | None = keyed(
        "plastic_per_kg", PRICE, "of what parts are printed with", "Plastic, a kilogram", default=None
    )

    def __post_init__(self) -> None:
        require_keyed(self)

    def metre_of(self, wire: Wire) -> float | None:
        """What a metre of the wire costs; None where that is not known."""
        return self.wire_per_m if self.wire_per_kg is None else self.wire_per_kg * wire.mass_per_metre


class PricesTable(table_of(Prices)):
    """[prices]"""


def prices_of(table: PricesTable) -> Prices:
    """The prices of a valid table."""
    return Prices(**table.model_dump())
