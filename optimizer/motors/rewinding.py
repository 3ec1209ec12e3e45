"""A salvaged motor rewound: turns and wire within the room of the old winding, and what comes out of it.

Volts go by turns, resistance by turns and wire; the field, the iron and the mean turn stay. At equal copper in the slot
the winding's volts²/ohm stays too: a new winding buys volts with ohms. The old coils are in every answer, left as they
are: through the commutator, or cut from it and joined in star or delta.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import floor
from typing import NamedTuple

import numpy as np

from geometry.files.key_tables import quantity
from geometry.files.schema import keyed
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import DENSITY, Wire, resistance_at
from geometry.stock.wire_words import wire_size
from optimizer.brief.goal import Prices
from optimizer.circuit.diodes import SILICON, Drop
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import LoadPoint, steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.load_curves import BestLoad, best_load, open_volts
from optimizer.motors.motor import (
    OUTPUTS,
    POLE_PAIRS,
    Motor,
    brush_mean,
    brush_share,
    coil_wave,
    line_wave,
    output_share,
    rms,
)
from optimizer.rigs.rig import Geared

ROUNDING = 1e-9  # of a turn: what arithmetic may add to a winding that just fits
RPM = quantity(minimum="-100000", maximum="100000")
LEAST_GAIN = 0.05  # over the old coils: less than that is not worth an afternoon


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningEnds(Geared):
    """Which ends turn, rpm, each positive in the sense that the shaft's hand drives the shaft.

    body_rpm: of the body with its magnets and brushes. The gears sit on the shaft, or on the body when that alone
    turns; what they sit on is given ahead of them.
    """

    shaft_rpm: float = keyed("shaft_rpm", RPM, "of the shaft; the difference of both counts", "Shaft", default=0.0)
    body_rpm: float = keyed("body_rpm", RPM, "of the body", "Body", default=0.0)

    @property
    def relative_rpm(self) -> float:
        """Shaft against body, rpm: all that the volts know of."""
        if self.shaft_rpm == 0:
            return abs(self.body_rpm) * self.step_up
        return abs(self.shaft_rpm * self.step_up - self.body_rpm)


@dataclass(frozen=True, slots=True, kw_only=True)
class RewindBrief:
    """What someone has and needs: the motor, wires at hand, turns wanted or None, the output, who turns what, the load.

    load: what to pick the wire for, or None for the best power. drop: of each diode where an output goes through six
    and the load has none of its own, V.
    """

    motor: Motor
    wires: tuple[Wire, ...]
    turns: int | None
    output: str
    turning: TurningEnds
    load: Load | None = None
    drop: Drop = SILICON
    prices: Prices | None = None

    @property
    def diodes(self) -> Drop:
        """Drop of each diode that an output goes through: the load's own where it has a bridge."""
        own = None if self.load is None else self.load.bridge
        return self.drop if own is None else own


@dataclass(frozen=True, slots=True, kw_only=True)
class Armature:
    """A motor with a winding of `turns` a coil, its own or a new one, tapped one way.

    drop: of each of its six diodes, V, where the output goes through them. Raises ValueError for an output that isn't
    known; star and delta take three coils.
    """

    motor: Motor
    wire: Wire
    turns: float
    output: str = "commutator"
    drop: Drop = SILICON

    def __post_init__(self) -> None:
        if self.output not in OUTPUTS:
            raise ValueError(f"output must be one of {', '.join(OUTPUTS)}, was {self.output}")
        if self.output != "commutator" and self.motor.coils != 3:
            raise ValueError(f"{self.output} takes 3 coils, was {self.motor.coils}")

    @property
    def diodes(self) -> Drop | None:
        """Drop of each of the six diodes that the output goes through, V; None where it goes through none."""
        return self.drop if self.output.endswith("-bridge") else None

    @property
    def alternating(self) -> bool:
        """Whether the output alternates: between two of three lines."""
        return self.output in ("star", "delta")

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


class Option(NamedTuple):
    """One row of the sweep: a winding, its no-load volts at the output, Ω, W into its best load and that load's Ω,
    volts and W of the stated load or None."""

    armature: Armature
    volts: float
    ohms: float
    best_watts: float
    best_ohms: float
    load_volts: float | None
    load_watts: float | None

    @property
    def worth(self) -> float:
        """W into the stated load, or without one into its own best."""
        return self.best_watts if self.load_watts is None else self.load_watts


def max_turns(motor: Motor, wire: Wire) -> int:
    """Turns of a coil whose insulated wire just fits the room."""
    return floor(motor.room / wire.overall_area + ROUNDING)


def rewind(
    motor: Motor,
    wire: Wire,
    turns: int | None = None,
    output: str = "commutator",
    drop: Drop = SILICON,
) -> Armature:
    """The motor with a new winding; without `turns`, as many as fit. Raises ValueError for more, and as `Armature`."""
    maximum = max_turns(motor, wire)
    wound = maximum if turns is None else turns
    if not 1 <= wound <= maximum:
        raise ValueError(f"turns must be from 1 to {maximum} of {wire_size(wire)} wire, was {wound}")
    return Armature(motor=motor, wire=wire, turns=wound, output=output, drop=drop)


def speed_constant(armature: Armature) -> float:
    """Direct volts between the brushes per rad/s of shaft against body, by turns ratio, V·s/rad."""
    return armature.motor.constant * armature.turns_ratio


def resistance(armature: Armature) -> float:
    """Of the output at 20 °C, Ω; that of the brushes counts where they are used."""
    ohms = armature.coil_resistance * output_share(armature.motor.coils, armature.output)
    return ohms + (armature.motor.brush_resistance if armature.output == "commutator" else 0.0)


def no_load_volts(armature: Armature, rpm: float) -> dict[str, float]:
    """V by output at `rpm` of shaft against body: means of direct ones, RMS of alternating ones; of other than three
    coils only "commutator", and the RMS of one coil as "phase"."""
    motor, commutator = armature.motor, speed_constant(armature) * rad_s_of(rpm)
    if motor.coils != 3:
        orders, shape = coil_wave(motor.coils, motor.magnet_arc)
        phase = rms(shape * commutator / brush_mean(motor.coils, orders, shape))
        return {"commutator": commutator, "phase": phase}
    return {
        output: commutator if output == "commutator" else output_volts(replace(armature, output=output), rpm)
        for output in OUTPUTS
    }


@lru_cache(maxsize=512)
def output_volts(armature: Armature, rpm: float) -> float:
    """No-load volts of the chosen output at `rpm` of shaft against body: a mean of direct, an RMS of
    alternating; behind six diodes what a meter shows."""
    return open_volts(motor_thevenin(armature), rpm, armature.diodes)


def motor_thevenin(armature: Armature, temperature: float = 20.0) -> TheveninSource:
    """The chosen output as a source; its speed is that of shaft against body.

    Through brushes it is a steady source, between two lines an alternating one; with six diodes all three lines feed,
    and the load is to be `fed` through its diodes. Without a measured inductance it has none. temperature: of the
    winding, °C.
    """
    motor, output = armature.motor, armature.output
    orders, shape = coil_wave(motor.coils, motor.magnet_arc)
    coil = shape * speed_constant(armature) / brush_mean(motor.coils, orders, shape)
    one = TheveninSource(
        name=motor.title,
        pole_pairs=POLE_PAIRS,
        orders=orders,
        flux_constants=coil,
        resistance=resistance_at(armature.coil_resistance, temperature),
        inductance=(motor.inductance or 0.0) * armature.turns_ratio**2 / brush_share(motor.coils),
    )
    share = output_share(motor.coils, output)
    if armature.diodes is not None:
        shifted = coil * np.exp(-2j * np.pi / 3 * np.outer(range(3), orders))
        return replace(one, flux_constants=shifted, connection="star" if output == "star-bridge" else "delta")
    line = replace(one, resistance=share * one.resistance, inductance=share * one.inductance)
    if output != "commutator":
        return replace(line, flux_constants=line_wave(orders, coil, output))
    return replace(
        line,
        orders=np.zeros(1),
        flux_constants=np.array([speed_constant(armature)]),
        resistance=line.resistance + motor.brush_resistance,
        kind="commutated",
    )


@lru_cache(maxsize=512)
def best_power(armature: Armature, rpm: float) -> BestLoad:
    """The resistance that gets the most of the output as it is, diodes and all, at `rpm`."""
    return best_load(motor_thevenin(armature), rpm, armature.diodes)


def sweep(brief: RewindBrief, *, full: bool = False) -> tuple[Option, ...]:
    """Every wire at hand that fits, thickest first: with the turns wanted, or else as many as fit.

    full: with as many as fit, whatever turns are wanted.
    """
    rpm, motor, turns = brief.turning.relative_rpm, brief.motor, None if full else brief.turns
    wires = sorted(brief.wires, key=lambda wire: -wire.diameter)
    fitting = [wire for wire in wires if max_turns(motor, wire) >= (turns or 1)]
    wound = [rewind(motor, wire, turns, brief.output, brief.diodes) for wire in fitting]
    return tuple(_option(armature, rpm, brief.load) for armature in wound)


def pick(options: Sequence[Option]) -> Option:
    """The option with the most watts into the stated load, or without one into its own best load; the
    thicker of equals."""
    return max(options, key=lambda row: row.worth)


def old_coils(brief: RewindBrief) -> tuple[Option, ...]:
    """The winding as found: of three coils cut from the commutator and joined, the better way first; through the
    commutator last.

    Joined they give direct current through six diodes, as the commutator does, or alternating where that is wanted.
    """
    motor, rpm = brief.motor, brief.turning.relative_rpm
    ways = ("star", "delta") if brief.output in {"star", "delta"} else ("star-bridge", "delta-bridge")
    outputs = (*ways, "commutator") if motor.coils == 3 else ("commutator",)
    rows = [_option(_as_found(motor, output, brief.diodes), rpm, brief.load) for output in outputs]
    return (*sorted(rows[:-1], key=lambda row: -row.worth), rows[-1])


def taps(brief: RewindBrief, chosen: Option) -> tuple[Option, ...]:
    """Every way of tapping the chosen winding, without a load; but through the commutator, of three coils only."""
    rpm, outputs = brief.turning.relative_rpm, OUTPUTS if brief.motor.coils == 3 else ("commutator",)
    return tuple(_option(replace(chosen.armature, output=output), rpm, None) for output in outputs)


def best_old(old: Sequence[Option], chosen: Option) -> Option:
    """The best of the old coils' rows that are tapped as the chosen one is.

    Where that goes without brushes, those that are joined: what a load across two lines or two diodes take is not the
    wire's doing.
    """
    joined = chosen.armature.output != "commutator"
    return pick(old[:-1] if joined else old)


def gain(old: Sequence[Option], chosen: Option) -> float:
    """What rewinding brings over `best_old`, a share of its watts; infinite over nothing."""
    before = best_old(old, chosen).worth
    if before > 0:
        return chosen.worth / before - 1
    return float("inf") if chosen.worth > 0 else 0.0


def _as_found(motor: Motor, output: str, drop: Drop) -> Armature:
    wire = Wire(diameter=motor.diameter)
    return Armature(motor=motor, wire=wire, turns=motor.turns, output=output, drop=drop)


def load_volts(point: LoadPoint) -> float:
    """Volts at the load, V: a mean of direct, an RMS where the load sits straight across an alternating winding."""
    if point.dc_volts or not point.current_rms:
        return point.dc_volts
    return point.load_rms


def _option(armature: Armature, rpm: float, load: Load | None) -> Option:
    volts, ohms = output_volts(armature, rpm), resistance(armature)
    best = best_power(armature, rpm)
    if load is None:
        return Option(armature, volts, ohms, best.watts, best.ohms, None, None)
    point = steady_state(motor_thevenin(armature), load.behind(armature.diodes), rpm)
    return Option(armature, volts, ohms, best.watts, best.ohms, load_volts(point), point.load_watts)
