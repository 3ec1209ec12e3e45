"""The magnets of a brief: which can be had, how many, at what price."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from geometry.files.key_tables import key, whole
from geometry.files.values import decimal_of
from geometry.files.writing import Row
from geometry.machine.layout_file import MagnetTable, magnet_of, magnet_rows
from geometry.stock.magnet import Magnet
from optimizer.brief.wire_tables import PRICE


class StockTable(MagnetTable):
    """[[magnets]]"""

    quantity: Annotated[int | None, whole(minimum=2, maximum=100_000)] = key(
        "quantity", None, "how many are at hand", "At hand (empty: any number)", usual="any number"
    )
    price: Annotated[float | None, PRICE] = key("price", None, "of one of this kind", usual="`prices.magnet`")


@dataclass(frozen=True, slots=True, kw_only=True)
class StockMagnet:
    """A magnet that can be had, how many (None: any number), and what one costs, in the currency of the prices.

    Raises ValueError for a quantity below 2.
    """

    magnet: Magnet
    quantity: int | None = None
    price: float | None = None

    def __post_init__(self) -> None:
        if self.quantity is not None and self.quantity < 2:
            raise ValueError(f"magnet quantity must be at least 2, was {self.quantity}")


def stock_of(row: StockTable) -> StockMagnet:
    """The entry of a valid table."""
    return StockMagnet(magnet=magnet_of(row), quantity=row.quantity, price=row.price)


def stock_rows(stock: StockMagnet) -> list[Row]:
    """An entry as a file states it."""
    price = None if stock.price is None else decimal_of(stock.price)
    quantity: Row = ("quantity", stock.quantity, "at hand; leave out if any number can be had")
    return [*magnet_rows(stock.magnet), quantity, ("price", price, "of one")]
