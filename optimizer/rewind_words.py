"""What a rewinding comes to, in words and as JSON: headline, sweep, how to tap the armature, what was assumed."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import Any, NamedTuple

from optimizer.caution_words import caution_document
from optimizer.circuit import matched_power
from optimizer.documents import rounded
from optimizer.hazards import Hazard, cell_hazards, voltage_hazards
from optimizer.motor import OUTPUTS, POLE_PAIRS, brush_share
from optimizer.rewind import (
    Option,
    RewindBrief,
    Turning,
    Volts,
    best_power,
    full_sweep,
    most_turns,
    no_load_volts,
    output_volts,
    peak_volts,
    resistance,
    rewind,
)
from optimizer.wording import SPACE, number, percent, plural, quantity, size_mm


class Tap(NamedTuple):
    """One way of tapping the same winding: its name, volts at no load and whether they alternate, Ω,
    best W."""

    output: str
    volts: float
    alternating: bool
    ohms: float
    best_watts: float


class AsFound(NamedTuple):
    """The old winding through its commutator at the same speed: V, Ω, W at best."""

    volts: float
    ohms: float
    best_watts: float


def as_found(brief: RewindBrief) -> AsFound:
    """What the motor gives before it is rewound."""
    motor = brief.motor
    volts = motor.constant * brief.turning.relative_rpm * pi / 30
    ohms = motor.coil_resistance * brush_share(motor.coils) + motor.brush_resistance
    return AsFound(volts, ohms, matched_power(volts, ohms))


def taps(brief: RewindBrief, chosen: Option) -> tuple[Tap, ...]:
    """Every way of tapping the chosen winding; other than through the commutator, of three coils only."""
    rewound, rpm = chosen.rewound, brief.turning.relative_rpm
    outputs = OUTPUTS if brief.motor.coils == 3 else ("commutator",)
    found = [rewind(rewound.motor, rewound.wire, rewound.turns, output) for output in outputs]
    return tuple(
        Tap(
            one.output,
            output_volts(one, rpm),
            one.output in ("star", "delta"),
            resistance(one),
            best_power(one, rpm),
        )
        for one in found
    )


def headline(brief: RewindBrief, chosen: Option) -> str:
    """What to wind and what it gives, in two or three sentences."""
    motor, rewound, rpm = brief.motor, chosen.rewound, brief.turning.relative_rpm
    kind = "V rms" if rewound.output in ("star", "delta") else "V direct"
    words = (
        f"Wind {motor.coils} coils of {rewound.turns} turns of {rewound.wire.diameter_mm:g}{SPACE}mm "
        f"enamelled wire in place of {motor.turns:.3g} turns of {size_mm(motor.diameter * 1e3)}: "
        f"{quantity(chosen.volts, kind)} at no load and {number(rpm)}{SPACE}rpm of shaft against body, "
        f"behind {quantity(chosen.ohms, 'Ω')}; at best {quantity(chosen.best_watts, 'W')} into a load of "
        "as many ohms."
    )
    if chosen.load_watts is None or chosen.load_volts is None:
        return words
    return f"{words} The stated load gets {quantity(chosen.load_watts, 'W')} at {quantity(chosen.load_volts, 'V')}."


def rewind_hazards(brief: RewindBrief, chosen: Option) -> tuple[Hazard, ...]:
    """What bites at the speed of shaft against body. Of how its copper cools nothing is known."""
    rpm = brief.turning.relative_rpm
    return *voltage_hazards(peak_volts(chosen.rewound, rpm), rpm), *cell_hazards(brief.load)


def notes(brief: RewindBrief, chosen: Option) -> list[str]:
    """What carries the figures, and what to know before winding."""
    return [
        *_winding_notes(brief, chosen),
        *_measurement_notes(brief),
        turning_note(brief.turning, chosen.rewound.output),
        *_output_notes(brief, chosen),
        *_three_loads_notes(brief, chosen),
    ]


def _winding_notes(brief: RewindBrief, chosen: Option) -> Iterator[str]:
    rewound, old = chosen.rewound, as_found(brief)
    yield (
        f"Volts go by turns: {rewound.turns} for {brief.motor.turns:.3g} is "
        f"{number(rewound.turns_ratio)} times. Field, iron and the length of a turn stay. At equal "
        "copper in the slot volts²/ohm stays too: a new winding buys volts with ohms, never watts "
        f"({quantity(old.best_watts, 'W')} at best before, {quantity(chosen.best_watts, 'W')} after)."
    )
    yield (
        f"The new wire takes {percent(rewound.room_share)} of the room of "
        f"{number(brief.motor.room * 1e6)}{SPACE}mm² (circles over the enamel); "
        f"{plural(most_turns(rewound.motor, rewound.wire), 'turn')} of it would fit. Wind in layers: a "
        "loose winding takes more."
    )
    if brief.load is None:
        yield "No load was stated: the wire is the one of the best power into a load of its own ohms. State one."


def _measurement_notes(brief: RewindBrief) -> Iterator[str]:
    motor = brief.motor
    if motor.reckoned == "turns":
        yield f"The old turns were not counted: {motor.turns:.3g} a coil, from resistance, wire and length."
    if motor.reckoned == "mean_turn":
        yield f"The length of a turn, {size_mm(motor.mean_turn * 1e3)}, follows from resistance, wire and turns."
    if motor.brush_resistance > 0:
        yield (
            f"The resistance read is {quantity(motor.brush_resistance, 'Ω')} above the winding's; it is "
            "put down to brushes and leads and stays."
        )
    if motor.inductance is None:
        yield "No inductance was measured: it is taken to be none, which flatters alternating output at high speed."
    if motor.idle_torque is None:
        yield "no_load_A was not measured: brushes, bearings and iron are taken to cost nothing."
    else:
        yield f"Brushes, bearings and iron take {quantity(motor.idle_torque * 1e3, 'mN·m')}, by the no-load current."
    yield (
        "Teeth snap from magnet to magnet as the armature turns: the pull is not in these figures, "
        "averages to nothing over a turn and is felt at low speed."
    )


def turning_note(turning: Turning, output: str) -> str:
    """Which end turns, and how the leads leave."""
    rpm = f"{number(turning.relative_rpm)}{SPACE}rpm"
    geared = f" behind gears of {number(turning.step_up)} : 1" if turning.gears else ""
    coils_out = output != "commutator"
    if turning.shaft_rpm == 0:
        leads = (
            "the coils stand still, so their three leads go straight out" if coils_out else
            "the brushes go round with it, so direct current needs two slip rings on the body"
        )  # fmt: skip
        return f"The shaft is held and the body turns{geared}, {rpm} of one against the other: {leads}."
    leads = (
        "the coils go round and need three slip rings; hold the shaft and turn the body to do without" if coils_out
        else "the brushes stand still and their leads go straight out"
    )  # fmt: skip
    if turning.body_rpm == 0:
        return f"The body is held and the shaft turns{geared}, {rpm} of one against the other: {leads}."
    way = "against" if turning.shaft_rpm * turning.body_rpm < 0 else "after"
    rings = "three slip rings" if coils_out else "two slip rings on the body"
    return f"Shaft{geared} and body turn, one {way} the other, {rpm} between them: that counts. It takes {rings}."


def _output_notes(brief: RewindBrief, chosen: Option) -> Iterator[str]:
    coils, output = brief.motor.coils, chosen.rewound.output
    half = coils // 2
    if output == "commutator":
        yield (
            f"Between the brushes lie two paths in parallel, of {plural(half, 'coil')} and of "
            f"{plural(half + 1, 'coil')} (a lap winding with a segment at every joint): "
            f"{number(brush_share(coils))} of one coil's ohms. Brushes are taken to have no width; ones "
            "that bridge two segments short a coil for that while."
        )
    else:
        yield (
            "The coils are cut from the commutator. Star: one end of each joined together, the others "
            "are the lines; √3 times the volts and 3 times the ohms of delta, where they stay joined in "
            "a ring. The watts are the same."
        )
    if output.endswith("bridge"):
        yield "The two diodes in the current's way are not in these volts: give a bridge as the load to count them."


def _three_loads_notes(brief: RewindBrief, chosen: Option) -> Iterator[str]:
    """What star and delta give beyond the one load that all figures are for."""
    tap = next((tap for tap in taps(brief, chosen) if tap.output == "star"), None)
    if tap is not None:
        yield (
            "Star and delta stand here with one load, across two of their three lines. Three equal loads, one for "
            f"each phase, would take {quantity(2 * tap.best_watts, 'W')} at best in all: twice as much."
        )


def rewind_document(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, Any]:
    """All figures for JSON; keys carry their units."""
    motor, turning, old = brief.motor, brief.turning, as_found(brief)
    document = {
        "title": motor.title,
        "cautions": caution_document(rewind_hazards(brief, chosen)),
        "found": {
            "coils": motor.coils, "turns": motor.turns, "wire_diameter_mm": motor.diameter * 1e3,
            "mean_turn_mm": motor.mean_turn * 1e3, "coil_resistance_ohm": motor.coil_resistance,
            "brush_resistance_ohm": motor.brush_resistance, "speed_constant_rpm_per_V": 30 / pi / motor.constant,
            "room_mm2": motor.room * 1e6, "reckoned": motor.reckoned, "volts": old.volts, "resistance_ohm": old.ohms,
            "best_power_W": old.best_watts,
        },
        "turning": {
            "shaft_rpm": turning.shaft_rpm, "body_rpm": turning.body_rpm, "gear_ratio": turning.step_up,
            "relative_rpm": turning.relative_rpm, "frequency_Hz": POLE_PAIRS * turning.relative_rpm / 60,
        },
        "best": option_document(chosen) | _volts_document(no_load_volts(chosen.rewound, turning.relative_rpm)),
        "taps": [tap._asdict() for tap in taps(brief, chosen)],
        "sweep": [option_document(option) for option in options],
        "full_slot": [option_document(option) for option in full_sweep(brief)],
        "notes": [note.replace(SPACE, " ") for note in notes(brief, chosen)],
    }  # fmt: skip
    return rounded(document)


def option_document(option: Option) -> dict[str, Any]:
    """One row of the sweep."""
    rewound = option.rewound
    row = {
        "wire_diameter_mm": rewound.wire.diameter_mm, "turns": rewound.turns, "turns_ratio": rewound.turns_ratio,
        "room_share": rewound.room_share, "output": rewound.output, "volts": option.volts,
        "resistance_ohm": option.ohms,
        "volts_squared_per_ohm": option.volts**2 / option.ohms, "best_power_W": option.best_watts,
        "load_volts": option.load_volts, "load_W": option.load_watts, "wire_length_m": rewound.wire_length,
        "copper_mass_g": rewound.copper_mass * 1e3, "coil_resistance_ohm": rewound.coil_resistance,
    }  # fmt: skip
    return rounded(row)


def _volts_document(volts: Volts) -> dict[str, Any]:
    return {
        "commutator_V": volts.commutator, "phase_rms_V": volts.phase, "star_line_rms_V": volts.star_line or None,
        "delta_line_rms_V": volts.phase if volts.star_line else None, "star_bridge_V": volts.star_bridge or None,
        "delta_bridge_V": volts.delta_bridge or None,
    }  # fmt: skip
