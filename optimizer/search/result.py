"""The answer of a search: the best machine, the best of every kind, and the reasons. Saved as JSON."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.drawing.layout_drawing import draw_layout
from geometry.machine.layout import Layout
from geometry.writers.svg import svg_text
from optimizer.bounds.any_winding import WindingBound
from optimizer.brief.brief import Brief
from optimizer.evaluation.chain import Figures
from optimizer.loads.hazards import Hazard, layout_hazards, load_hazards
from optimizer.loads.load_target import LoadVerdict


@dataclass(frozen=True, slots=True)
class Entry:
    """One machine with its figures. load_watts: what the load of a search for one gets of it, W, else None."""

    figures: Figures
    load_watts: float | None = None

    @property
    def layout(self) -> Layout:
        """The machine."""
        return self.figures.layout

    def _repr_svg_(self) -> str:
        """The machine's drawing, for a notebook."""
        return svg_text(draw_layout(self.layout))


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitGain:
    """What relaxing one limit of the brief would bring, the other limits as they are.

    key: the brief's key; was, relaxed: its value and the relaxed one in `unit`; gain: relative gain of the goal,
    0.02 for 2 %; binds: whether that is worth speaking of; magnets: how many it takes, when only the relaxed limit
    lets so many in, else None.
    """

    key: str
    unit: str
    was: float
    relaxed: float
    gain: float
    binds: bool
    magnets: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One single-variable move away from the winner.

    variable: in the words of the layout file; was, moved: its values in mm, turns or a wire's mm; change: relative
    change of the goal; fits: whether the moved layout fits the brief.
    """

    variable: str
    was: float
    moved: float
    change: float
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Textbook:
    """The layout of a textbook's rules of thumb, what its sizing equation promises, V, and what it really does."""

    entry: Entry
    sizing_equation_V: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """Everything a search found. `by_magnet_count` ascends in count; `by_topology` keeps the brief's order.

    by_phases: the best machine of each number of phases, fewest first; empty when the brief tries only one number.
    load: what a load gets of the best machine, when the search was for one; the machines are compared by `brief.goal`.
    bound: what no winding exceeds past the best machine's magnets.
    """

    brief: Brief
    best: Entry
    by_magnet_count: tuple[Entry, ...]
    by_topology: tuple[Entry, ...]
    textbook: Textbook | None
    limits: tuple[LimitGain, ...]
    moves: tuple[Move, ...]
    layouts_considered: int
    scan_best: float
    by_phases: tuple[Entry, ...] = ()
    load: LoadVerdict | None = None
    bound: WindingBound | None = None

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites at the best machine's own speed, and of the load that the search was for."""
        load = self.load.target.load if self.load else None
        figures = self.best.figures
        fed = load_hazards(load, figures.emf_terminal_peak_V, figures.layout.speed_rpm)
        return *layout_hazards(figures), *fed
