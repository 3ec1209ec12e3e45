"""What the search maximises and what things cost: how turns and wire enter a goal, how a brief's file says both.

EMF is linear in turns and the field does not know the wire, so for a geometry whose single turn (of every coil
together) has RMS EMF e and length ℓ, each goal is e^a · n^b · (s/ℓ)^c with n turns and copper section s.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    presence,
    quantity,
    refuse,
    refuse_table,
    text,
)
from geometry.files.schema import keyed, require_keyed, table_of
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row
from geometry.machine.layout import Layout
from geometry.stock.wire import CONDUCTIVITY, Wire
from optimizer.brief.wire_tables import PRICE
from optimizer.evaluation.chain import Figures, emf_and_power, significant
from optimizer.loads.load_file import LoadTable, load_of, load_rows
from optimizer.loads.load_target import TARGETS, LoadTarget


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What things cost, in `currency`: apiece, per m, or per kg (wire with its enamel); None where it is not known.

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
        """What 1 m of the wire costs, in `currency`; None where that is not known."""
        return self.wire_per_m if self.wire_per_kg is None else self.wire_per_kg * wire.mass_per_metre


class PricesTable(table_of(Prices)):
    """[prices]"""


def prices_of(table: PricesTable) -> Prices:
    """The prices of a valid table."""
    return Prices(**table.model_dump())


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal. value² or value is e² times `merit`; `root` tells which. steepness: see `search.objective.Aim`."""

    name: str
    label: str
    unit: str
    root: bool
    steepness: float = 1.0

    def merit(self, turns: ArrayLike, length: ArrayLike, wire: Wire, phases: int = 1) -> Real:
        """What e² (V², any shape) is multiplied by: turns², or phases times turns over four times the Ω of one turn.

        length: of one turn of every coil of a phase, m.
        """
        turns = np.asarray(turns, float)
        if self.root:
            return turns**2
        return phases * turns * (CONDUCTIVITY * wire.copper_area / 4) / np.asarray(length)

    def value(self, figures: Figures) -> float:
        """The goal's value in `unit` as it is printed: the last bits of a sum decide between no two machines."""
        return significant(figures.emf_rms_V if self.root else figures.matched_power_W)

    def worth(self, layout: Layout) -> float:
        """The goal's value of a layout in `unit`, with its own turns."""
        return emf_and_power(layout)[0 if self.root else 1]

    def weights(self, orders: Real) -> Real:
        """Factors (K,) of the squares of the EMF's orders (K,): all weigh alike."""
        return np.ones(orders.size)

    def from_square(self, merit_times_square: ArrayLike) -> Real:
        """The goal's value in `unit` from e² · merit, of the same shape."""
        return np.sqrt(merit_times_square) if self.root else np.asarray(merit_times_square, float)


GOALS = {
    "emf_rms": Goal(name="emf_rms", label="EMF", unit="V rms", root=True),
    "power": Goal(name="power", label="Power into a matched load", unit="W", root=False),
}


class GoalTable(Table):
    """What the search is after; the last two goals need a `[load]`."""

    maximise: Annotated[str, choice((*GOALS, *TARGETS))] = key(
        "maximise",
        "emf_rms",
        meaning="voltage; power into a matched load; with a table `[load]` "
        "also power into that load, or the least speed at which it works",
        label="Goal",
    )
    watts: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "load_W", None, 'for `"lowest_speed"`: what the load must get to count as working',
        "It works from (empty: any)", usual="that it begins",
    )  # fmt: skip

    @presence("watts")
    @staticmethod
    def _for_speed(watts: object, earlier: Earlier) -> None:
        goal = earlier.data.get("maximise")
        if watts is not None and goal is not None and goal != "lowest_speed":
            refuse('be left out unless maximise = "lowest_speed"', shown(watts))


def check_load(load: LoadTable | None, goal: GoalTable) -> None:
    """Refuse a load that the goal does not ask for, a missing one, and watts that it cannot take."""
    wanted = goal.maximise in TARGETS
    if load is None:
        if wanted:
            refuse_table(f'a table [load] must be given for maximise = "{goal.maximise}", was missing')
        return
    if not wanted:
        refuse(f"be left out unless maximise is one of {', '.join(TARGETS)}", "a table")
    asked = load_of(load)
    if not asked.TAKES_CURRENT:
        refuse("be a load that takes current", f'"{load.kind}"')
    if asked.limited and (goal.watts or 0) > asked.limited.most_watts:
        refuse("be able to give goal.load_W", f"{asked.limited.most_watts:g} W at most")


def target_of(goal: GoalTable, load: LoadTable | None) -> LoadTarget | None:
    """The target of valid tables, or None for a goal without a load."""
    if load is None:
        return None
    return LoadTarget(kind=goal.maximise, load=load_of(load), watts=goal.watts)


def goal_rows(goal: str, target: LoadTarget | None) -> Iterator[tuple[str, list[Row]]]:
    """The `[goal]` table, and the `[load]` table when there is one."""
    if target is None:
        yield "[goal]", [("maximise", goal, "emf_rms, or power into a matched load")]
        return
    watts = None if target.watts is None else decimal_of(target.watts)
    yield (
        "[goal]",
        [
            ("maximise", target.kind, "load_power, or lowest_speed at which the load works"),
            ("load_W", watts, "what the load must get to work"),
        ],
    )
    yield "[load]", load_rows(target.load)
