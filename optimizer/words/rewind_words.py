"""What a rewinding comes to, in words: headline, sweep, how to tap the armature, what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import isfinite

from geometry.machine.speed import rad_s_of
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.circuit.diodes import Diode, Drop
from optimizer.loads.hazards import Hazard, load_hazards, voltage_hazards
from optimizer.motors.motor import OUTPUTS, brush_share
from optimizer.motors.rewinding import (
    LEAST_GAIN,
    Option,
    RewindBrief,
    TurningEnds,
    best_old,
    best_power,
    gain,
    max_turns,
    motor_thevenin,
    old_coils,
    taps,
)
from optimizer.words.caution_words import CELLS, GUARD, RULES, Caution, voltage_caution
from optimizer.words.wording import (
    NOTHING,
    SPACE,
    RowOfWords,
    TableOfWords,
    number,
    percent,
    plural,
    quantity,
    size_mm,
)


def old_how(option: Option) -> str:
    """How the old coils are joined in one of their rows."""
    output = option.armature.output
    if output == "commutator":
        return "through the commutator, as found"
    six = ", six diodes" if output.endswith("-bridge") else ""
    return f"open the commutator, join them in {output.removesuffix('-bridge')}{six}"


def old_name(option: Option) -> str:
    """What becomes of the old coils in one of their rows."""
    return f"leave the old coils: {old_how(option)}"


def wire_table(brief: RewindBrief, options: Sequence[Option], chosen: Option) -> TableOfWords:
    """The old coils as they are, then every wire that fits; volts and watts of a load only where one is stated."""
    old, fed = old_coils(brief), chosen.load_watts is not None
    heads = ("Wire, mm", "Turns of a coil", "No load, V", "Ω", "Best, W", *(("Load, V", "Load, W") if fed else ()))
    rows = [
        *((*_figures(row, fed=fed), "none", "none", NOTHING, old_how(row)) for row in old),
        *((*_figures(row, fed=fed), *_made_of(row), "") for row in options),
    ]
    return TableOfWords(
        (*heads, "Wire, m", "Copper, g", "Room", "Old coils"), tuple(rows), len(old) + options.index(chosen)
    )


def _figures(option: Option, *, fed: bool) -> tuple[str, ...]:
    """Wire, turns, volts, ohms and watts of one row, of its load as well where there is one."""
    rms = f"{SPACE}rms" if option.armature.alternating else ""
    load = (option.load_volts or 0.0, option.load_watts or 0.0) if fed else ()
    return (
        wire_mm(option.armature.wire),
        f"{option.armature.turns:.4g}",
        number(option.volts) + rms,
        *map(number, (option.ohms, option.best_watts, *load)),
    )


def _made_of(option: Option) -> tuple[str, str, str]:
    new = option.armature
    return number(new.wire_length), number(new.copper_mass * 1e3), percent(new.room_share)


def tap_table(brief: RewindBrief, chosen: Option) -> TableOfWords:
    """Every way of tapping the new winding."""
    rows = [
        (
            f"{tap.armature.output}: {OUTPUTS[tap.armature.output]}",
            number(tap.volts) + (f"{SPACE}rms" if tap.armature.alternating else f"{SPACE}direct"),
            number(tap.ohms),
            number(tap.best_watts),
            number(tap.best_ohms) if tap.best_watts else NOTHING,
        )
        for tap in taps(brief, chosen)
    ]
    return TableOfWords(("Tapped as", "No load, V", "Ω", "Best, W", "into, Ω"), tuple(rows))


def picked_rows(chosen: Option) -> tuple[RowOfWords, ...]:
    """The wire that was picked: name, value and remark of each of its figures."""
    new = chosen.armature
    return (
        ("Wire", wire_size(new.wire), "bare copper"),
        ("Turns of a coil", f"{new.turns:g}", f"{percent(new.room_share)} of the room"),
        ("At no load", quantity(chosen.volts, "V rms" if new.alternating else "V direct"), ""),
        ("Resistance", quantity(chosen.ohms, "Ω"), "at 20 °C"),
        ("At the load", quantity(chosen.load_volts or 0.0, "V"), ""),
        ("Power of the load", quantity(chosen.load_watts or 0.0, "W"), ""),
    )


def headline(brief: RewindBrief, chosen: Option) -> str:
    """What to do and what it gives: leave the old coils where rewinding brings too little, else what to wind."""
    old = old_coils(brief)
    before, brings = best_old(old, chosen), gain(old, chosen)
    if brings >= LEAST_GAIN:
        words = f"{_wind(brief, chosen)} {_gained(before, brings)}"
    elif brief.load is None and before.worth > 0 and chosen.volts > (1 + LEAST_GAIN) * before.volts:
        words = (
            f"{_wind(brief, chosen)} That is {number(chosen.volts / before.volts)} times the volts of the old coils, "
            f"but {_little(brings)} in watts: where volts are not the aim, {_left(before)}."
        )
    else:
        leave, coils = _left(before), plural(brief.motor.coils, "coil")
        words = (
            f"{leave[0].upper()}{leave[1:]}. Rewinding brings {_little(brings)}: {coils} of "
            f"{chosen.armature.turns:g} turns of {wire_size(chosen.armature.wire, SPACE)} would give "
            f"{quantity(chosen.worth, 'W')}."
        )
    return f"{words} {_with_brushes(old[-1], max(before, chosen, key=lambda row: row.worth))}".rstrip()


def _with_brushes(brushed: Option, without: Option) -> str:
    """That the motor as found does better than without its brushes; nothing where it does not."""
    if without.armature.output == "commutator" or brushed.worth <= (1 + LEAST_GAIN) * without.worth:
        return ""
    where = "into its best load" if brushed.load_watts is None else "to the stated load"
    gives = f"{quantity(brushed.worth, 'W')} {where}"
    return f"As found, through its commutator, the motor gives {gives}: more than without brushes."


def leave_sentence(brief: RewindBrief, chosen: Option) -> str | None:
    """That the old coils do as well for the stated load; None where rewinding brings more."""
    old = old_coils(brief)
    if brief.load is None or gain(old, chosen) >= LEAST_GAIN:
        return None
    how = old_how(best_old(old, chosen))
    brings = _little(gain(old, chosen))
    return f"For the load that its wire is picked for, rewinding brings {brings}, beside the old coils {how}."


def _little(brings: float) -> str:
    """A gain below the least in words."""
    if brings <= -0.005:
        return f"{percent(-brings)} less"
    return "nothing" if brings < 0.005 else f"only {percent(brings)} more, under {percent(LEAST_GAIN)}"


def _wind(brief: RewindBrief, chosen: Option) -> str:
    """The chosen winding, its volts and watts."""
    motor, new = brief.motor, chosen.armature
    return (
        f"Wind {motor.coils} coils of {new.turns:g} turns of {wire_size(new.wire, SPACE)} enamelled wire in place of "
        f"{motor.turns:.3g} turns of {motor.diameter * 1e3:.3g}{SPACE}mm. At {number(brief.turning.relative_rpm)}"
        f"{SPACE}rpm of shaft against body they give {_gives(chosen)}."
    )


def _gives(option: Option) -> str:
    """Volts, ohms, and watts of a row, into the stated load or its best one."""
    words = f"{volts_words(option)} with nothing joined, have {quantity(option.ohms, 'Ω')} and bring at best "
    words += quantity(option.best_watts, "W")
    if option.best_watts > 0:
        words += f" into {quantity(option.best_ohms, 'Ω')}"
    if option.load_watts is None or option.load_volts is None:
        return words
    return f"{words}; the stated load gets {quantity(option.load_watts, 'W')} at {quantity(option.load_volts, 'V')}"


def volts_words(option: Option) -> str:
    """No-load volts with what they are."""
    kind = "V rms between two lines" if option.armature.alternating else "V direct"
    behind = " behind six diodes" if option.armature.diodes else " behind ideal diodes"
    return quantity(option.volts, kind) + ("" if option.armature.diodes is None else behind)


def _left(before: Option) -> str:
    """To leave the old coils, how, and what they give."""
    return f"{old_name(before)}; they give {_gives(before)}"


def _gained(before: Option, brings: float) -> str:
    """What rewinding brings over the old coils."""
    if not isfinite(brings):
        return "The old coils, however they are joined, give this load nothing."
    times = f"{number(1 + brings)} times" if brings >= 1 else f"{percent(brings)} more than"
    how = old_how(before)
    return f"That is {times} the {quantity(before.worth, 'W')} of the old coils ({how})."


def rewind_hazards(brief: RewindBrief, chosen: Option) -> tuple[Hazard, ...]:
    """What bites at the speed of shaft against body. Of how its copper cools nothing is known."""
    rpm = brief.turning.relative_rpm
    peak = motor_thevenin(chosen.armature).peak_constant * rad_s_of(rpm)
    return *voltage_hazards(peak, rpm), *load_hazards(brief.load, peak, rpm)


def motor_cautions(brief: RewindBrief, chosen: Option) -> tuple[Caution, ...]:
    """What to mind with a rewound motor, whatever bites."""
    rpm = brief.turning.relative_rpm
    peak = motor_thevenin(chosen.armature).peak_constant * rad_s_of(rpm)
    watts = quantity(peak**2 / chosen.ohms, "W")
    hot = Caution("Windings get hot", f"Shorted, the winding turns up to {watts} into heat at this speed.")
    return voltage_caution(peak, rpm), hot, GUARD, CELLS, RULES


def notes(brief: RewindBrief, chosen: Option) -> list[str]:
    """What carries the figures, and what to know before winding."""
    return [
        *_winding_notes(brief, chosen),
        *_measurement_notes(brief),
        turning_note(brief.turning, chosen.armature.output),
        *_output_notes(brief, chosen),
        *_three_loads_notes(brief, chosen),
    ]


def _winding_notes(brief: RewindBrief, chosen: Option) -> Iterator[str]:
    new, motor = chosen.armature, brief.motor
    yield (
        f"Volts go by turns: {new.turns:g} for {motor.turns:.3g} is {number(new.turns_ratio)} times. Field, iron and "
        f"the length of a turn stay. {_copper_words(brief, chosen)}"
    )
    yield (
        f"The new wire takes {percent(new.room_share)} of the room of "
        f"{number(motor.room * 1e6)}{SPACE}mm² (circles over the enamel); "
        f"{plural(max_turns(motor, new.wire), 'turn')} of it would fit. Wind in layers: a "
        "loose winding takes more."
    )
    if brief.load is None:
        yield "No load was stated: the wire is the one of the best power into a load that suits it. State one."


def _copper_words(brief: RewindBrief, chosen: Option) -> str:
    """Why the watts at best are what they were, or are not: copper, brushes, diodes."""
    new, motor = chosen.armature, brief.motor
    copper = new.turns * new.wire.copper_area / (motor.turns * motor.copper_area)
    same = replace(new, wire=replace(new.wire, diameter=motor.diameter, grade=1), turns=motor.turns)
    before = best_power(same, brief.turning.relative_rpm).watts
    words = (
        "The watts of the winding itself go by the section of copper in the slot, whatever the turns, and the new "
        f"winding has {percent(copper)} of the old one's: tapped in the same way the old coils give "
        f"{quantity(before, 'W')} at best, the new ones {quantity(chosen.best_watts, 'W')}."
    )
    if new.output == "commutator" and motor.brush_resistance > 0:
        return f"{words} Brushes and leads keep their ohms, which weigh less the more ohms the winding has."
    if new.diodes:
        return f"{words} Two diodes keep their volts, which weigh less the more volts the winding makes."
    return words


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


def turning_note(turning: TurningEnds, output: str) -> str:
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
    coils, output = brief.motor.coils, chosen.armature.output
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
    if chosen.armature.diodes is not None:
        yield (
            f"Two of the six diodes stand in the current's way, {_diode_words(chosen.armature.diodes)}, and are "
            "in all these figures; rewind.diode names another kind."
        )


def _diode_words(drop: Drop) -> str:
    if not isinstance(drop, Diode):
        return f"{quantity(drop, 'V')} each"
    few, many = (quantity(drop.drop_at(amps), "V") for amps in (0.01, 1.0))
    return f"{drop.name}, {few} each at 10{SPACE}mA and {many} at 1{SPACE}A"


def _three_loads_notes(brief: RewindBrief, chosen: Option) -> Iterator[str]:
    """What star and delta give beyond the one load that all figures are for."""
    for tap in taps(brief, chosen):
        if tap.armature.output == "star":
            yield (
                "Star and delta stand here with one load, across two of their three lines, which takes half of what "
                "the winding can give, old wire or new. Three equal loads, one for each phase, would take "
                f"{quantity(2 * tap.best_watts, 'W')} at best in all: twice as much."
            )
