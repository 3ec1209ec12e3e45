"""The bill of materials: what to buy and to print for one machine, with prices where the brief gives them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from geometry.drawing.layout_drawing import plate_words
from geometry.machine.filaments import SPARE
from geometry.machine.layout import Layout
from geometry.parts.pockets import GLUE_LINE, annulus_area
from geometry.parts.solids import Part
from geometry.stock.magnet import UNKNOWN, Magnet
from geometry.stock.wire import DENSITY
from geometry.stock.wire_words import enamel_words, in_hand, wire_size
from optimizer.brief.brief import Brief
from optimizer.brief.goal import Prices
from optimizer.building.winding_card import WindingCard
from optimizer.evaluation.retention import PLASTIC_DENSITY, plate_mass
from optimizer.jobs.documents import csv_table
from optimizer.words.wording import plain, size_mm

GLUE_WASTE = 2.0  # times what stays in the joints; what is left in cup and syringe
COLUMNS = ("item", "description", "quantity", "unit", "mass_g", "price_each", "price", "currency", "remark")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One line: what, how much of it in `unit` (None: left to the builder), mass in kg, price of one unit."""

    item: str
    description: str
    quantity: float | None = None
    unit: str = ""
    mass: float | None = None
    price_each: float | None = None
    remark: str = ""

    @property
    def price(self) -> float | None:
        """Of the line, in the currency of the prices: the number of units times the price of each."""
        if self.price_each is None or self.quantity is None:
            return None
        return self.price_each * self.quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsList:
    """All lines, the currency of their prices (empty without), and masses in kg.

    copper_mass: bare copper in the turns alone. wire_short: m of wire that the brief's length at hand lacks
    for turns, ends and spare; 0 when it lasts or is not given.
    """

    rows: tuple[PartRow, ...]
    currency: str
    copper_mass: float
    magnet_mass: float
    plastic_mass: float
    wire_short: float

    @property
    def total(self) -> float | None:
        """Sum of the prices of all lines that have one, in the unit of currency; None when no line has one."""
        known = [row.price for row in self.rows if row.price is not None]
        return sum(known) if known else None

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Items without a price."""
        return tuple(row.item for row in self.rows if row.price is None)


def parts_list(card: WindingCard, parts: Sequence[Part], brief: Brief | None = None) -> PartsList:
    """What a machine needs; `parts` are those to print, whole or cut."""
    layout, prices = card.layout, brief.prices if brief else None
    at_hand = brief.length_of(layout.winding.wire) if brief else None
    magnets = layout.carrier.count * layout.carrier.carriers
    return PartsList(
        rows=(
            _magnet_row(layout.carrier.magnet, magnets, _magnet_price(layout, brief)),
            _wire_row(card, brief),
            *(_printed_row(part, prices, copies(layout, part)) for part in parts),
            *_other_rows(layout),
        ),
        currency=prices.currency if prices else "",
        copper_mass=card.turns_length * layout.winding.wire.strand.copper_area * DENSITY,
        magnet_mass=magnets * layout.carrier.magnet.mass,
        plastic_mass=sum(part.volume * copies(layout, part) for part in parts) * PLASTIC_DENSITY,
        wire_short=0.0
        if at_hand is None or card.spool_length <= at_hand * (1 + 1e-9)
        else card.spool_length - at_hand,
    )


def parts_csv(listed: PartsList) -> bytes:
    """The list as a table in CSV (UTF-8, comma, decimal point), the total last."""
    rows = [_cells(row, listed.currency) for row in listed.rows]
    if listed.total is not None:
        left_out = ", ".join(listed.unpriced)
        remark = f"without: {left_out}" if left_out else ""
        rows.append(["total", "", "", "", "", "", f"{listed.total:.2f}", listed.currency, remark])
    return csv_table(COLUMNS, rows)


def _cells(row: PartRow, currency: str) -> list[str]:
    grams = None if row.mass is None else row.mass * 1e3
    price = ["", ""] if row.price is None else [f"{row.price:.2f}", currency]
    amounts = [_decimal(row.quantity, 3), row.unit, _decimal(grams, 2), _decimal(row.price_each, 6)]
    return [row.item, row.description, *amounts, *price, row.remark]


def _decimal(value: float | None, decimals: int) -> str:
    return "" if value is None else f"{value:.{decimals}f}".rstrip("0").rstrip(".")


def copies(layout: Layout, part: Part) -> int:
    """How often a part is printed: a cover for each carrier, all else once."""
    return layout.carrier.carriers if part.name.startswith("cover") else 1


def _magnet_price(layout: Layout, brief: Brief | None) -> float | None:
    """Of one magnet: that of its kind in the brief, else that of any."""
    kinds = {stock.magnet: stock.price for stock in brief.magnets} if brief else {}
    price = kinds.get(layout.carrier.magnet)
    return brief.prices.magnet if price is None and brief and brief.prices else price


def _magnet_row(magnet: Magnet, count: int, price: float | None) -> PartRow:
    grade = f"grade {UNKNOWN}" if magnet.grade == UNKNOWN else magnet.grade or f"remanence {magnet.remanence:g} T"
    return PartRow(
        item="magnets",
        description=plain(f"{magnet.label}, {grade}, magnetized along its thickness"),
        quantity=count,
        unit="piece",
        mass=count * magnet.mass,
        price_each=price,
        remark="one or two to spare are wise: they chip",
    )


def _wire_row(card: WindingCard, brief: Brief | None) -> PartRow:
    """Metres to buy, or the brief's spool that holds them: at its own price, where it has one."""
    wire, prices = card.layout.winding.wire, brief.prices if brief else None
    number = brief.spool_for(wire, card.spool_length) if brief else None
    spool = brief.spools[number - 1] if brief and number else None
    length = ceil(card.spool_length * 10 - 1e-6) / 10
    taken = f"turns {card.turns_length:.2f} m + ends {card.ends_length:.2f} m"
    enamel = f"; {enamel_words(wire)}" if enamel_words(wire) else ""
    strands = f"; {in_hand(wire.strands)}" if wire.strands > 1 else ""
    held = f"spool {number} of the brief, {spool.length:g} m; " if spool else ""
    whole = spool is not None and spool.price is not None
    return PartRow(
        item="wire",
        description=f"enamelled copper, round, {wire_size(wire.strand)} bare, grade {wire.grade}{strands}",
        quantity=1 if whole else length,
        unit="spool" if whole else "m",
        mass=length * wire.mass_per_metre,
        price_each=spool.price if spool and whole else prices.metre_of(wire) if prices else None,
        remark=f"{held}{taken} + {SPARE * 100:g} % spare, up to the next 0.1 m{enamel}",
    )


def _printed_row(part: Part, prices: Prices | None, count: int) -> PartRow:
    """Volume in cm³ and mass of solid plastic, of `count` pieces alike."""
    price = prices.plastic_per_kg if prices else None
    pieces = f", {count} pieces" if count > 1 else ""
    return PartRow(
        item=part.name,
        description=f"printed plastic, PLA of {PLASTIC_DENSITY / 1e3:g} g/cm³, printed solid{pieces}",
        quantity=count * part.volume * 1e6,
        unit="cm³",
        mass=count * part.volume * PLASTIC_DENSITY,
        price_each=None if price is None else price * PLASTIC_DENSITY * 1e-6,
        remark=f"{part.name}.stl or {part.name}.3mf; supports and brim not counted",
    )


def _other_rows(layout: Layout) -> Iterator[PartRow]:
    carriers, steel = layout.carrier.carriers, layout.carrier.plate > 0
    if steel:
        yield PartRow(
            item="steel plate",
            description=plate_words(layout),
            quantity=carriers,
            unit="piece",
            mass=carriers * plate_mass(layout),
            remark="plate.dxf or plate.svg; behind the magnets, as flat as can be had",
        )
    under = f"magnets and cover{' and on the steel' if steel else ''}"
    yield PartRow(
        item="adhesive",
        description="two-part epoxy, slow setting, for magnets and cover",
        quantity=max(ceil(glue_volume(layout) * 1e6), 1),
        unit="ml",
        remark=f"a line of {GLUE_LINE * 1e3:g} mm under {under}, and as much for the cup",
    )
    yield PartRow(
        item="shaft, bearings, fasteners, frame",
        description=plain(f"left to the builder; the bore is {size_mm(layout.space.bore_radius * 2e3)}"),
        remark="non-magnetic next to the magnets",
    )


def glue_volume(layout: Layout) -> float:
    """Adhesive to buy, m³: a line under every magnet, under the cover and on the steel, and what is wasted."""
    space, carrier = layout.space, layout.carrier
    area = carrier.count * carrier.magnet.area
    area += annulus_area(space.bore_radius, space.outer_radius) * (2 if carrier.plate else 1)
    return carrier.carriers * area * GLUE_LINE * GLUE_WASTE
