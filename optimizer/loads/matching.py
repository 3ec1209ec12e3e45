"""Turns against wire: one bundle filled with one wire or another, and the wire that suits a load.

Volts² per ohm does not depend on the gauge: thinner wire gives more turns, volts in proportion and ohms by the square.
The EMF of a turn, and the inductance per turn², are taken from the layout's own winding (they move by less than a
per cent with the number of turns); the resistance follows each wire exactly.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.coils.bundle import cell_clearance, max_turns
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import USUAL_MM, Wire, resistance_at
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.evaluation.copper import resistance, wire_length

ALIKE = 0.01  # relative; what differs by less is told as a tie, and is no reason to wind anew
SAME = 1e-3  # relative; loads served so alike are told apart by the reserve


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WireChoice:
    """The bundle filled with one wire: turns per coil, length in m, EMF in V rms (of three
    phases between two terminals), resistance of a phase and between two terminals in Ω, load point.

    reserve: what the load would get if it took all that it is given, W.
    """

    wire: Wire
    turns: int
    length: float
    emf_rms: float
    resistance: float
    terminal_resistance: float
    point: LoadPoint
    reserve: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matching:
    """All wires of a list, thinnest first, the place of the one that serves the load best, and the copper's °C."""

    choices: tuple[WireChoice, ...]
    best: int
    temperature: float

    @property
    def chosen(self) -> WireChoice:
        """The wire that gives the load the most; of those that give a converter all it takes, that of most reserve."""
        return self.choices[self.best]

    @property
    def alike(self) -> tuple[WireChoice, ...]:
        """All wires that give the load as much as the chosen one within 1 %, thinnest first, that one among them."""
        maximum = max(choice.point.load_watts for choice in self.choices)
        return tuple(c for c in self.choices if c.point.load_watts >= maximum * (1 - ALIKE))


def standard_wires(grade: int) -> tuple[Wire, ...]:
    """Every usual standard size of one grade of enamel, thinnest first."""
    return tuple(Wire(diameter=size * 1e-3, grade=grade) for size in USUAL_MM)


def match_wire(
    layout: Layout,
    source: TheveninSource,
    load: Load,
    *,
    speed_rpm: float,
    temperature: float,
    wires: tuple[Wire, ...],
) -> Matching:
    """The layout's bundle filled with each of `wires`, at `speed_rpm` and the copper's `temperature`, °C.

    Raises ValueError when none of them fits even once.
    """
    choices: list[WireChoice] = []
    for wire in sorted(wires, key=lambda w: w.diameter):
        wound = _filled(layout, wire)
        if wound is not None:
            choices.append(_choice(layout, wound, source, (load, speed_rpm, temperature)))
    if not choices:
        raise ValueError("a wire must fit the bundle at least once, none did")
    watts = np.array([choice.point.load_watts for choice in choices])
    reserve = np.array([choice.reserve for choice in choices])
    best = int(np.argmax(np.where(watts >= watts.max() * (1 - SAME), reserve, -1.0)))
    return Matching(choices=tuple(choices), best=best, temperature=temperature)


def _filled(layout: Layout, wire: Wire) -> Layout | None:
    """The layout with as many turns of `wire` as its bundle takes, and find their places."""
    winding = layout.winding
    section, pieces = (winding.width, winding.height), layout.pieces
    turns = int(max_turns(*section, wire, winding.fill_factor, pieces))
    while turns > 1 and cell_clearance(turns, *section, wire, pieces) < -1e-9:
        turns -= 1
    return replace(layout, winding=replace(winding, wire=wire, turns=turns)) if turns else None


def _choice(layout: Layout, wound: Layout, source: TheveninSource, use: tuple[Load, float, float]) -> WireChoice:
    load, speed_rpm, temperature = use
    ratio = wound.winding.turns / layout.winding.turns
    length = wire_length(wound)
    cold = resistance(wound, length)
    drawn = wound.winding.wire.diameter / layout.winding.wire.diameter
    scaled = replace(
        source,
        flux_constants=source.flux_constants * ratio,
        resistance=resistance_at(cold, temperature),
        inductance=source.inductance * ratio**2,
        mutual=source.mutual * ratio**2,
        eddy=source.eddy * drawn**4 * length / wire_length(layout),
    )
    point = steady_state(scaled, load, speed_rpm)
    return WireChoice(
        wire=wound.winding.wire,
        turns=wound.winding.turns,
        length=length,
        emf_rms=scaled.emf_constant * rad_s_of(speed_rpm),
        resistance=scaled.resistance,
        terminal_resistance=scaled.terminal_resistance,
        point=point,
        reserve=steady_state(scaled, load.unlimited, speed_rpm).load_watts if point.full else point.load_watts,
    )
