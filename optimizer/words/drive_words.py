"""A run in words: can it, how long, how hard, what is dangerous."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.drivetrain import GRAVITY
from optimizer.rigs.hand_drive import LONGEST_COAST
from optimizer.rigs.operator import bearable_power
from optimizer.words.caution_words import (
    CELLS,
    GUARD,
    RULES,
    Caution,
    caution_lines,
    voltage_caution,
)
from optimizer.words.draw_words import draw_words
from optimizer.words.loads import words_of
from optimizer.words.machine_words import machine_notes
from optimizer.words.wording import duration, number, percent, quantity

EDDY_MATTERS = 0.03  # share of the hand's work from which eddy currents are told
LITTLE_ENERGY = 1.0  # J; 1 kg falling a hand's width


def headline(run: DriveRun) -> str:
    """The run in one sentence."""
    settled = run.settled
    return (
        f"{quantity(settled.dc_volts, 'V')} ({volts_meaning(run) or 'at the load'}) and "
        f"{quantity(settled.load_watts, 'W')} at {number(settled.rpm)} rpm, "
        f"for {quantity(settled.hand_watts, 'W')} from the hand"
        f"{'' if keeps_cadence(run) else ', ' + _cadence_missed(run)}."
    )


def volts_meaning(run: DriveRun) -> str:
    """What the volts of a run are; empty of one against no known load."""
    return words_of(run.load).volts_meaning(run.load, run.source) if run.load and run.source else ""


def keeps_cadence(run: DriveRun) -> bool:
    """Whether the cadence asked for is the one that comes about, in the digits that are shown."""
    return number(run.settled.cadence_per_minute) == number(run.rig.operator.cadence_per_minute)


def _cadence_missed(run: DriveRun) -> str:
    asked, reached = run.rig.operator.cadence_per_minute, run.settled.cadence_per_minute
    return f"at {number(reached)} {run.rig.mechanism.BEATS} a minute, not the {number(asked)} asked for"


def findings(run: DriveRun) -> tuple[str, ...]:
    """What it comes to, plainly, the answer to what was asked first."""
    return (
        *_volts(run), *_charging(run),
        *(words_of(run.load).findings(run.load, run.details, run.settled.rpm) if run.load else ()),
        *(draw_words(run.draw) if run.draw else ()), *_hand(run), *_eddies(run),
        *_run_down(run), *_hurry(run), *(machine_notes(run.figures) if run.figures else ()),
    )  # fmt: skip


def _volts(run: DriveRun) -> Iterator[str]:
    settled, useful = run.settled, run.useful_volts
    minimum, maximum = quantity(settled.least_volts, "V"), quantity(settled.most_volts, "V")
    swing = f", swinging from {minimum} to {maximum}" if settled.most_volts > 1.01 * settled.least_volts else ""
    yield f"It settles at {number(settled.rpm)} rpm{_asked_rpm(run)} and {quantity(settled.dc_volts, 'V')}{swing}."
    yield from _no_output(run)
    if useful is None:
        return
    if run.useful_after is not None:
        yield f"{quantity(useful, 'V')} are reached {duration(run.useful_after)} after starting from rest."
    elif run.most_possible_volts < useful:
        yield (
            f"It never gives {quantity(useful, 'V')}: at this cadence the hand turns the rotor at "
            f"{number(run.top_rpm)} rpm at most, which gives {quantity(run.most_possible_volts, 'V')}. "
            "More turns, a faster beat or more gear would."
        )
    else:
        yield (
            f"It does not give {quantity(useful, 'V')} within {duration(run.seconds)}: the most was "
            f"{quantity(float(run.series.dc_volts.max()), 'V')}. The hand, not the winding, is the limit, or more "
            "time is needed."
        )


def _asked_rpm(run: DriveRun) -> str:
    """The rotor's speed at the cadence asked for, where it is not the one reached."""
    asked = number(run.asked_rpm)
    if asked == number(run.settled.rpm):
        return ""
    return f" in the mean ({asked} rpm while the hand drives at the cadence asked for)"


def _no_output(run: DriveRun) -> Iterator[str]:
    reached = run.turning.rpm
    if run.energies.load > 0 or not 0 < reached < run.cut_in_rpm:
        return
    more = number(run.cut_in_rpm / reached)
    yield (
        f"Nothing comes out: output begins at {number(run.cut_in_rpm)} rpm of the rotor, and the hand brings it to "
        f"{number(reached)} rpm. It takes more than {more} times the gear, or the turns, for output to begin."
    )


def _charging(run: DriveRun) -> Iterator[str]:
    charge = run.rig.charge
    if charge is None or charge.needed is None:
        return
    asked = (
        f"{quantity(charge.capacity_mah, 'mAh')} at {quantity(charge.volts, 'V')}"
        if charge.capacity_mah
        else f"{quantity(charge.energy_wh or 0.0, 'Wh')}"
    )
    if run.load and not run.load.STORES:
        yield f"No, it cannot charge {asked}: {words_of(run.load).stores_nothing}."
        return
    if run.charge_seconds is None:
        yield f"No, it cannot charge {asked}: nothing useful flows at {quantity(charge.volts, 'V')} or more."
        return
    yield (
        f"Yes, it can charge {asked}: {quantity(charge.needed / 3600, 'Wh')} to be put in at "
        f"{quantity(run.settled.useful_watts, 'W')} takes {duration(run.charge_seconds)} of such work."
    )


def _hand(run: DriveRun) -> Iterator[str]:
    settled, operator = run.settled, run.rig.operator
    joules = quantity(settled.hand_watts * 60, "J")
    yield (
        f"The hand gives {quantity(settled.hand_watts, 'W')} in the mean, {joules} a minute, of which "
        f"{quantity(settled.load_watts * 60, 'J')} reach the load; it feels {quantity(settled.mean_force, 'N')} "
        f"while it drives, {quantity(max(s.peak_force for s in run.strokes), 'N')} at the most."
    )
    yield from _beat(run)
    limit = bearable_power(run.seconds)
    if settled.hand_watts > limit:
        yield (
            f"Nobody keeps that up: an ordinary person's whole body gives {quantity(limit, 'W')} for so long "
            "(Wilkie 1960)."
        )
    elif settled.hand_watts > 0.97 * operator.lasting_power:
        yield f"It is all that the hand is said to keep up ({quantity(operator.lasting_power, 'W')})."


def _beat(run: DriveRun) -> Iterator[str]:
    if run.settled.strokes_per_minute:
        last = run.strokes[max(len(run.strokes) - 2, 0)]
        taken, brought = quantity(last.hand_joules, "J"), quantity(last.load_joules, "J")
        yield f"One stroke takes {taken} and brings {brought} to the load."
    if keeps_cadence(run):
        asked = number(run.rig.operator.cadence_per_minute)
        yield f"The hand keeps the {asked} {run.rig.mechanism.BEATS} a minute asked for."
    else:
        rests = " After each rest it has to gather speed first." if run.rig.operator.rest else ""
        missed = _cadence_missed(run).removeprefix("at ")
        yield f"The hand comes to {missed}: it cannot do more against this load.{rests}"


def _eddies(run: DriveRun) -> Iterator[str]:
    lost, hand = run.energies.eddy, run.energies.hand
    if lost > EDDY_MATTERS * hand:
        yield (
            f"Eddy currents in the wire take {percent(lost / hand)} of the hand's work, load or not: thinner wire, "
            "several strands of it wound in hand, or fewer turns a minute of the rotor make them smaller."
        )


def _run_down(run: DriveRun) -> Iterator[str]:
    if run.coasts.loaded is None:
        yield f"With the hand off it still turns after {duration(LONGEST_COAST)}: next to nothing brakes it."
    else:
        yield (
            f"With the hand off it runs down from {number(run.coast_rpm)} rpm in {duration(run.coasts.loaded)}; in "
            f"{_coast_range(run)}, by how its bearings run and whether the load is on."
        )
    if run.coast_useful_seconds is not None and run.useful_volts is not None:
        yield f"It stays above {quantity(run.useful_volts, 'V')} for {duration(run.coast_useful_seconds)} of that."


def _coast_range(run: DriveRun) -> str:
    """The shortest and the longest that it may go on with the hand off."""
    minimum, maximum = (LONGEST_COAST if time is None else time for time in (run.coasts.shortest, run.coasts.longest))
    longer = " and longer" if run.coasts.longest is None else ""
    end = f"{duration(maximum)}{longer}"
    return f"{duration(minimum)} to {end}" if minimum < maximum else end


def _hurry(run: DriveRun) -> Iterator[str]:
    operator = run.rig.operator
    if run.burst:
        yield f"STOP: after {duration(run.seconds)} the {run.burst_of} may burst; the run ends there."
    if run.series.hand_speed.max() > 0.98 * operator.top_speed:
        yield f"The beat asks for a faster hand than there is: its top speed is {quantity(operator.top_speed, 'm/s')}."


def drive_cautions(run: DriveRun) -> tuple[Caution, ...]:
    """What to mind with this rig whatever bites, the most urgent first."""
    stored = _stored_caution(run)
    first = (GUARD, stored) if run.most_stored < LITTLE_ENERGY else (stored, GUARD)
    volts = (voltage_caution(run.open_peak, float(run.series.rpm.max())),) if run.open_peak else ()
    return *first, *volts, CELLS, RULES


def _stored_caution(run: DriveRun) -> Caution:
    drop = run.most_stored / GRAVITY
    stored = f"Up to {quantity(run.most_stored, 'J')} here"
    wheel = "key the flywheel to its shaft" if run.rig.flywheel else "fix the rotor to its shaft"
    check = f"{wheel} and check both before each use."
    if isfinite(run.burst_rpm):
        check += f" The {run.burst_of} may burst at {number(run.burst_rpm)} rpm of the rotor."
    if run.most_stored < LITTLE_ENERGY:
        return Caution(
            "What turns stores little energy", f"{stored}: too little to hurt by itself. Still, {check}"
        )
    return Caution(
        "What turns stores energy",
        f"{stored}: as much as 1 kg falling {quantity(drop, 'm')}. It goes on for {_coast_range(run)} after "
        "the hand has stopped, longest with the load unplugged and bearings that run easily, and lets go all at once "
        "when something jams or breaks loose. Let it run down before you reach in; "
        f"{check}",
    )


def energy_rows(run: DriveRun) -> list[tuple[str, float, float]]:
    """Where the work of the hand went in the whole run, by name: J, and its share; without what is next to nothing."""
    spent, total = run.energies, run.energies.hand or 1.0
    rows = (
        ("the load", spent.load), ("copper", spent.copper), ("diodes", spent.diodes), ("converter", spent.converter),
        ("eddy currents in the wire", spent.eddy),
        ("mechanism", spent.mechanism), ("return spring", spent.spring), ("gears", spent.gears),
        ("bearings and seals", spent.bearings), ("air", spent.air), ("still turning", spent.stored),
    )  # fmt: skip
    return [(name, joules, joules / total) for name, joules in rows if abs(joules) > 5e-4 * total]


def run_lines(run: DriveRun) -> list[str]:
    """The run for a terminal."""
    went = [f"  {name:<19} {number(joules):>9} J {percent(share):>7}" for name, joules, share in energy_rows(run)]
    warned = [f"- {caution.title}: {caution.text}" for caution in drive_cautions(run)]
    return [
        run.rig.title, "", *caution_lines(run.hazards), headline(run), "", *(f"- {text}" for text in findings(run)), "",
        f"Of {quantity(run.energies.hand, 'J')} from the hand in {duration(run.seconds)}", *went, "", "Mind", *warned,
    ]  # fmt: skip
