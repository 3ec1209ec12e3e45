"""A salvaged motor rewound: turns and wire within the room of the old winding, and what comes out of it.

Volts go by turns, resistance by turns and wire; the field, the iron and the mean turn stay. At equal copper in the slot
volts²/ohm stays too: a new winding buys volts with ohms, never watts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor, pi
from typing import NamedTuple

import numpy as np

from geometry.wire import DENSITY, Wire, resistance_at
from optimizer.circuit import matched_power
from optimizer.loads import BridgeResistor, Load, Resistor
from optimizer.motor import (
    OUTPUTS,
    POLE_PAIRS,
    Motor,
    bridge_mean,
    brush_mean,
    brush_share,
    coil_wave,
    line_wave,
    output_share,
    rms,
)
from optimizer.prices import Prices
from optimizer.rig import Geared
from optimizer.source import Source
from optimizer.steady import LoadPoint, steady_state

ROUNDING = 1e-9  # of a turn: what arithmetic may add to a winding that just fits


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning(Geared):
    """Which ends turn, rpm, each positive in the sense that the shaft's hand drives the shaft.

    body_rpm: of the body with its magnets and brushes. The gears sit on the shaft, or on the body when that alone
    turns; what they sit on is given ahead of them.
    """

    shaft_rpm: float = 0.0
    body_rpm: float = 0.0

    @property
    def relative_rpm(self) -> float:
        """Shaft against body: all that the volts know of."""
        if self.shaft_rpm == 0:
            return abs(self.body_rpm) * self.step_up
        return abs(self.shaft_rpm * self.step_up - self.body_rpm)


@dataclass(frozen=True, slots=True, kw_only=True)
class RewindBrief:
    """What someone has and needs: the motor, wires at hand, turns wanted or None, the output, who turns what, the load.

    load: what to pick the wire for, or None for the best power.
    """

    motor: Motor
    wires: tuple[Wire, ...]
    turns: int | None
    output: str
    turning: Turning
    load: Load | None = None
    prices: Prices | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rewound:
    """A motor with a new winding of `turns` a coil. Raises ValueError when they don't fit, or the output isn't known.

    star and delta take three coils.
    """

    motor: Motor
    wire: Wire
    turns: int
    output: str = "commutator"

    def __post_init__(self) -> None:
        if self.output not in OUTPUTS:
            raise ValueError(f"output must be one of {', '.join(OUTPUTS)}, was {self.output}")
        if self.output != "commutator" and self.motor.coils != 3:
            raise ValueError(f"{self.output} takes 3 coils, was {self.motor.coils}")
        most = most_turns(self.motor, self.wire)
        if not 1 <= self.turns <= most:
            raise ValueError(
                f"turns must be from 1 to {most} of {self.wire.diameter_mm:g} mm wire, was {self.turns}"
            )

    @property
    def turns_ratio(self) -> float:
        """New turns over old."""
        return self.turns / self.motor.turns

    @property
    def coil_resistance(self) -> float:
        """Of one coil at 20 °C, Ω."""
        return self.turns * self.motor.mean_turn * self.wire.resistance_per_metre

    @property
    def room_share(self) -> float:
        """Share of the room that the new wire takes."""
        return self.turns * self.wire.overall_area / self.motor.room

    @property
    def wire_length(self) -> float:
        """Of all coils, without ends, m."""
        return self.motor.coils * self.turns * self.motor.mean_turn

    @property
    def copper_mass(self) -> float:
        """Of all coils, kg."""
        return self.wire_length * self.wire.copper_area * DENSITY


class Volts(NamedTuple):
    """No-load volts at one speed. Lines and phases are RMS, of three coils, else 0; direct values are
    means."""

    commutator: float
    phase: float
    star_line: float
    star_bridge: float
    delta_bridge: float


class Option(NamedTuple):
    """One row of the sweep: a winding, its no-load volts at the output, Ω, W into a matched and into
    the stated load."""

    rewound: Rewound
    volts: float
    ohms: float
    best_watts: float
    load_volts: float | None
    load_watts: float | None


def most_turns(motor: Motor, wire: Wire) -> int:
    """Turns of a coil whose insulated wire just fits the room."""
    return floor(motor.room / wire.overall_area + ROUNDING)


def rewind(motor: Motor, wire: Wire, turns: int | None = None, output: str = "commutator") -> Rewound:
    """The motor with a new winding; without `turns`, as many as fit. Raises ValueError as `Rewound`."""
    return Rewound(motor=motor, wire=wire, turns=turns or most_turns(motor, wire), output=output)


def speed_constant(rewound: Rewound) -> float:
    """Direct volts between the brushes per rad/s of shaft against body, by turns ratio, V·s/rad."""
    return rewound.motor.constant * rewound.turns_ratio


def resistance(rewound: Rewound) -> float:
    """Of the output at 20 °C, Ω; that of the brushes counts where they are used."""
    ohms = rewound.coil_resistance * output_share(rewound.motor.coils, rewound.output)
    return ohms + (rewound.motor.brush_resistance if rewound.output == "commutator" else 0.0)


def no_load_volts(rewound: Rewound, rpm: float) -> Volts:
    """What every way of tapping the armature gives at `rpm` of shaft against body."""
    motor = rewound.motor
    orders, shape = coil_wave(motor.coils, motor.magnet_arc)
    commutator = speed_constant(rewound) * rpm * np.pi / 30
    coil = shape * commutator / brush_mean(motor.coils, orders, shape)
    if motor.coils != 3:
        return Volts(commutator, rms(coil), 0.0, 0.0, 0.0)
    star, delta = (bridge_mean(orders, coil, output) for output in ("star-bridge", "delta-bridge"))
    return Volts(commutator, rms(coil), rms(line_wave(orders, coil, "star")), star, delta)


def output_volts(rewound: Rewound, rpm: float) -> float:
    """No-load volts of the chosen output at `rpm` of shaft against body: a mean of direct, an RMS of
    alternating."""
    volts = no_load_volts(rewound, rpm)
    return {
        "commutator": volts.commutator,
        "star": volts.star_line,
        "delta": volts.phase,
        "star-bridge": volts.star_bridge,
        "delta-bridge": volts.delta_bridge,
    }[rewound.output]


def motor_source(rewound: Rewound, temperature: float = 20.0) -> Source:
    """The chosen output as a source; its speed is that of shaft against body.

    Through brushes it is a steady source, between two lines an alternating one; with six diodes all three lines feed,
    and the load is to be `behind_diodes`. Without a measured inductance it has none. temperature: of the winding, °C.
    """
    motor, output = rewound.motor, rewound.output
    orders, shape = coil_wave(motor.coils, motor.magnet_arc)
    coil = shape * speed_constant(rewound) / brush_mean(motor.coils, orders, shape)
    one = Source(
        name=motor.title,
        pole_pairs=POLE_PAIRS,
        orders=orders,
        flux_constants=coil,
        resistance=resistance_at(rewound.coil_resistance, temperature),
        inductance=(motor.inductance or 0.0) * rewound.turns_ratio**2 / brush_share(motor.coils),
    )
    share = output_share(motor.coils, output)
    if has_diodes(output):
        shifted = coil * np.exp(-2j * np.pi / 3 * np.outer(range(3), orders))
        return replace(one, flux_constants=shifted, connection="star" if output == "star-bridge" else "delta")
    line = replace(one, resistance=share * one.resistance, inductance=share * one.inductance)
    if output != "commutator":
        return replace(line, flux_constants=line_wave(orders, coil, output))
    return replace(
        line,
        orders=np.zeros(1),
        flux_constants=np.array([speed_constant(rewound)]),
        resistance=line.resistance + motor.brush_resistance,
        kind="commutated",
    )


def peak_volts(rewound: Rewound, rpm: float) -> float:
    """Highest volts between two ends at no load; direct ones of a commutator."""
    return motor_source(rewound).peak_constant * rpm * pi / 30


def has_diodes(output: str) -> bool:
    """Whether an output comes through six diodes."""
    return output.endswith("-bridge")


def behind_diodes(load: Load) -> Load:
    """What an output through six diodes feeds: a plain resistance sits behind them, their drop not counted."""
    return BridgeResistor(ohms=load.ohms, drop=0.0) if isinstance(load, Resistor) else load


def best_power(rewound: Rewound, rpm: float) -> float:
    """Into a load of the output's own resistance, W."""
    return matched_power(output_volts(rewound, rpm), resistance(rewound))


def full_sweep(brief: RewindBrief) -> tuple[Option, ...]:
    """Every wire at hand with as many turns as fit, whatever turns are wanted."""
    return sweep(replace(brief, turns=None))


def sweep(brief: RewindBrief) -> tuple[Option, ...]:
    """Every wire at hand that fits, thickest first: with the turns wanted, or else as many as fit."""
    rpm, motor = brief.turning.relative_rpm, brief.motor
    wires = sorted(brief.wires, key=lambda wire: -wire.diameter)
    fitting = [wire for wire in wires if most_turns(motor, wire) >= (brief.turns or 1)]
    return tuple(_option(rewind(motor, wire, brief.turns, brief.output), rpm, brief.load) for wire in fitting)


def pick(options: Sequence[Option]) -> Option:
    """The option with the most watts into the stated load, or without one into its own best load; the
    thicker of equals."""
    return max(options, key=lambda row: row.best_watts if row.load_watts is None else row.load_watts)


def load_volts(point: LoadPoint) -> float:
    """Volts at the load: a mean of direct, an RMS where the load sits straight across an alternating winding."""
    if point.dc_volts or not point.current_rms:
        return point.dc_volts
    return point.load_rms


def _option(rewound: Rewound, rpm: float, load: Load | None) -> Option:
    volts, ohms = output_volts(rewound, rpm), resistance(rewound)
    watts = best_power(rewound, rpm)
    if load is None:
        return Option(rewound, volts, ohms, watts, None, None)
    fed = behind_diodes(load) if has_diodes(rewound.output) else load
    point = steady_state(motor_source(rewound), fed, rpm)
    return Option(rewound, volts, ohms, watts, load_volts(point), point.load_watts)
