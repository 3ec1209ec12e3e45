"""A load study in words and rows, shared by the terminal and the page."""

from __future__ import annotations

from geometry.stock.wire_words import wire_size
from optimizer.circuit.diodes import Diode, Drop, knee_volts
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import Load
from optimizer.evaluation.copper import SMALL
from optimizer.loads.load_study import ALIKE, LoadStudy, Matching
from optimizer.loads.load_target import LoadTarget, LoadVerdict
from optimizer.words.loads import words_of
from optimizer.words.machine_words import machine_notes
from optimizer.words.wording import RowOfWords, amps_text, number, percent, quantity, watts_text

EDDY_MATTERS = 0.03  # share of the shaft's power from which eddy currents are told
UNFELT = 0.1  # K; warmth below this is not told in figures


def load_words(load: Load) -> str:
    """The load in a few words."""
    return words_of(load).brief(load)


def answer_words(verdict: LoadVerdict, speed_rpm: float) -> str:
    """What the load does at `speed_rpm` with the layout that a search for it found, to follow its name."""
    if verdict.target.kind == "load_power":
        if verdict.watts == 0:
            return _unfed_words(verdict, speed_rpm)
        return f"gets {watts_text(verdict.watts)} at {speed_rpm:g} rpm, {_among(verdict, 'the most')}"
    if verdict.value is None:
        return "does not work at any speed with any layout tried"
    return f"works from {verdict.value:.3g} rpm, {_among(verdict, 'the lowest')}"


def _among(verdict: LoadVerdict, rank: str) -> str:
    """How the answer stands among the layouts tried; ties are told."""
    if verdict.alike == 1:
        return f"{rank} of all tried"
    return f"as do {verdict.alike - 1} more of {verdict.tried} tried"


def _unfed_words(verdict: LoadVerdict, speed_rpm: float) -> str:
    """That no layout feeds the load, why, and from what speed the one handed over would."""
    load = verdict.target.load
    return (
        f"gets nothing at {speed_rpm:g} rpm from any layout tried. No current flows until the EMF between the"
        f" terminals peaks above {quantity(load.threshold, 'V')}, {words_of(load).threshold(load)}; the layout found"
        f" reaches {quantity(verdict.peak, 'V')}. Its output would begin at {number(verdict.cut_in_rpm)} rpm, the"
        " lowest of all tried"
    )


def goal_sentence(verdict: LoadVerdict, speed_rpm: float) -> str:
    """What a search for a load was after, and what came of it with the layout that it found, at `speed_rpm`."""
    return f"The goal was {target_words(verdict.target)}. It {answer_words(verdict, speed_rpm)}."


def target_words(target: LoadTarget) -> str:
    """What a search for a load is after, to follow "the goal was"."""
    load = load_words(target.load)
    if target.kind == "load_power":
        return f"the most power for the load: {load}"
    needed = f" (from {watts_text(target.watts)} on)" if target.watts else ""
    return f"the lowest speed at which the load works{needed}: {load}"


def compared_words(verdict: LoadVerdict, label: str) -> str:
    """What the layouts beside the winner of a search for a load are compared by. label: of the goal's name."""
    within = "" if verdict.limit is None else f" with at most {quantity(verdict.limit, 'Ω')} in the winding"
    name = label if label.isupper() else label[:1].lower() + label[1:]
    return (
        f"Layouts are compared by their {name}, not by what the load gets of each, which stands beside. Those beside"
        f" the best have the most of it{within}; the best one was then optimised for the load itself."
    )


def gained_words(verdict: LoadVerdict, gain: float) -> str:
    """What the load comes to with `gain` (0.02 for 2 %): watts, or a lower speed at which it works or output begins."""
    if verdict.target.kind == "load_power" and verdict.watts:
        return watts_text(verdict.watts * (1 + gain))
    return f"{(verdict.value or verdict.cut_in_rpm) / (1 + gain):.3g}\u00a0rpm"


def source_rows(study: LoadStudy) -> list[RowOfWords]:
    """The winding as a source."""
    source, losses, formula = study.source, study.losses, study.formula
    emf = study.meters.open_circuit
    off = formula.inductance / study.inductances.coil - 1
    skin = "small" if losses.resistance_rise < SMALL else "not small"
    between = _terminals(study) if source.phases == 3 else "open circuit"
    copper = f"copper at {number(study.temperature)} °C"
    if source.phases == 3:
        copper = f"between two terminals, {copper}; each phase {quantity(source.resistance, 'Ω')}"
    return [
        ("EMF", quantity(emf.true_rms, "V") + " rms", f"{between}, {quantity(emf.peak, 'V')} peak"),
        ("Resistance", quantity(source.terminal_resistance, "Ω"), copper),
        (
            "Inductance of a phase" if source.phases == 3 else "Inductance",
            _henries(study.inductances.phase),
            f"sum over all turns; one coil {_henries(study.inductances.coil)}, by formula "
            f"({formula.name}) {_henries(formula.inductance)}, {percent(abs(off))} {'more' if off > 0 else 'less'}",
        ),
        *_mutual_rows(study),
        ("Reactance", quantity(study.reactance, "Ω"), f"at {quantity(study.point.frequency_Hz, 'Hz')}"),
        (
            "Skin effect",
            percent(losses.resistance_rise),
            f"more resistance: {skin}; skin depth {quantity(losses.skin_depth * 1e3, 'mm')}",
        ),
    ]


def _mutual_rows(study: LoadStudy) -> list[RowOfWords]:
    """What three phases do to one another."""
    source = study.source
    if source.phases == 1:
        return []
    sign = "−" if source.mutual < 0 else ""
    rows: list[RowOfWords] = [
        ("Between two phases", sign + _henries(abs(source.mutual)), "mean mutual inductance")
    ]
    if source.connection == "delta":
        watts = study.around_watts
        rows.append(
            ("Around the delta", watts_text(watts), "lost by harmonics that all phases share, load or not")
        )
    return rows


def point_rows(study: LoadStudy) -> list[RowOfWords]:
    """What the load gets, and where the rest goes."""
    point, load, words = study.point, study.load, words_of(study.load)
    shaft: RowOfWords = (
        "From the shaft", watts_text(point.shaft_watts), f"torque {quantity(point.torque * 1e3, 'mN·m')}"
    )  # fmt: skip
    eddy: RowOfWords = ("Lost in eddy currents", watts_text(point.eddy_watts), _eddy_remark(point))
    if not load.TAKES_CURRENT:
        return [("Power of the load", watts_text(0.0), "nothing is connected"), shaft, eddy]
    where = "each phase" if study.source.phases == 3 else "the winding"
    rows: list[RowOfWords] = [
        *words.given_rows(load, study),
        ("Power of the load", watts_text(point.load_watts), _verdict(study)),
        shaft,
        ("Lost in the copper", watts_text(point.copper_watts), f"{amps_text(point.current_rms)} rms in {where}"),
    ]
    if load.bridge is not None:
        rows.append(("Lost in the diodes", watts_text(point.diode_watts), _diode_remark(load.bridge, point)))
    rows += [
        *words.lost_rows(load, point),
        eddy,
        ("Efficiency", percent(point.efficiency), "load over shaft, bearings and air not counted"),
    ]
    if study.cut_in_rpm > 0:
        beats = f"where the EMF's peak beats {words.threshold(load)}"
        rows.append((words.begins, f"{number(study.cut_in_rpm)} rpm", beats))
    return [*rows, _warmth(study)]


def _warmth(study: LoadStudy) -> RowOfWords:
    """How warm the winding gets."""
    warm = study.warming
    if study.burns:
        bears = f"the enamel bears {quantity(study.bearable_amps, 'A')} rms in the winding all the time"
        return "Winding", "would burn", bears
    if warm.maximum < UNFELT:
        return "Winding warms by", f"below {quantity(UNFELT, 'K', 1)}", "in the long run"
    band = f"{number(warm.minimum)} to {quantity(warm.maximum, 'K')} by how the air moves"
    return "Winding warms by", quantity(warm.rise, "K"), f"in the long run, {band}"


def meter_rows(study: LoadStudy) -> list[RowOfWords]:
    """What meters show."""
    free, loaded, table = study.meters.open_circuit, study.meters.winding, study.meters
    three = study.source.phases == 3
    at = (f"{_terminals(study)}, ", _terminals(study)) if three else ("", "at the winding")
    return [
        (
            "Cheap AC meter, winding free",
            quantity(free.average_responding, "V"),
            f"{at[0]}responds to the average",
        ),
        ("True-RMS AC meter, winding free", quantity(free.true_rms, "V"), at[0].removesuffix(", ")),
        ("Scope, winding free", quantity(free.peak, "V"), f"{at[0]}peak"),
        ("DC meter behind a bridge, no load", quantity(table.behind_bridge, "V"), "mean"),
        ("the same with a capacitor", quantity(table.behind_capacitor, "V"), "peak less two diodes"),
        ("Cheap AC meter, load on", quantity(loaded.average_responding, "V"), at[1]),
        ("True-RMS AC meter, load on", quantity(loaded.true_rms, "V"), at[1]),
        ("DC meter at the load", quantity(table.load.direct, "V"), ""),
    ]


def _diode_remark(drop: Drop, point: LoadPoint) -> str:
    share = f"{percent(point.conducting_share)} of the time"
    if not isinstance(drop, Diode) or not point.dc_amps > 0:
        return f"two of {quantity(knee_volts(drop), 'V')} in the way, {share}"
    each = point.diode_watts / (2 * point.dc_amps)
    return f"two, {drop.name}, by their law: {quantity(each, 'V')} each at this current, {share}"


def _eddy_remark(point: LoadPoint) -> str:
    share = point.eddy_watts / point.shaft_watts if point.shaft_watts > 0 else 0.0
    return f"in the wire, by the passing magnets: at most, {percent(share)} of what the shaft brings"


def note_words(study: LoadStudy) -> tuple[str, ...]:
    """What stands beside the figures: what helps against eddy currents, where they matter; the study's notes."""
    point, wire = study.point, study.layout.winding.wire
    if not study.load.TAKES_CURRENT or not point.eddy_watts > EDDY_MATTERS * point.shaft_watts:
        return machine_notes(study.figures)
    each = "one of " if wire.strands == 1 else "each of the "
    eddy = (
        f"Eddy currents in the wire take {watts_text(point.eddy_watts)} of the {watts_text(point.shaft_watts)} from "
        "the shaft, load or not. At equal copper they fall with the square of a wire's diameter: four wires of "
        f"{wire.diameter_mm / 2:.2g} mm wound in hand, twisted and joined at their ends, in place of "
        f"{each}{wire_size(wire)} bring them to a quarter at the same volts and ohms, if there is room for their "
        "enamel; so does half the speed."
    )
    return (eddy, *machine_notes(study.figures))


def best_words(study: LoadStudy) -> str:
    """The best load."""
    curve = study.curve
    if curve is None:
        return "At this speed the winding gives nothing behind its bridge."
    maximum, unit = watts_text(curve.best_point.load_watts), "Ω" if study.load.CURVE == "ohms" else "V"
    best = quantity(curve.best, unit)
    return words_of(study.load).best(study.load, study, maximum, best, _near(study))


def _near(study: LoadStudy) -> str:
    """That the load could not do much better, where that is so."""
    assert study.curve is not None
    near = study.point.load_watts >= study.curve.best_point.load_watts * (1 - ALIKE)
    return "; this one gets as much within 1 %" if near else ""


def wire_words(study: LoadStudy) -> str:
    """The wire that suits the load."""
    chosen, point = study.matching.chosen, study.point
    if not study.load.TAKES_CURRENT:
        return "With a load, the wire that suits it is picked here."
    if not chosen.point.starts:
        return "No standard wire in this bundle makes the load work at this speed."
    would, now = watts_text(chosen.point.load_watts), watts_text(point.load_watts)
    if point.load_watts >= chosen.point.load_watts * (1 - ALIKE):
        return f"As it is wound the bundle gives the load {now}; filled with another wire it would give no more."
    wound = f"{wire_size(chosen.wire)} wire ({chosen.turns} turns a coil, {quantity(chosen.length, 'm')} in all)"
    against = f"the bundle would give the load {would}, against {now} as it is"
    if len(study.matching.alike) == 1:
        return f"Filled with {wound} {against}."
    return f"Filled with {wound} {against}; {_sizes(study.matching)} give it as much within 1 %."


def matching_finding(matching: Matching) -> str:
    """Which wires give the load the most, as a title."""
    chosen = matching.chosen
    if not chosen.point.starts:
        return "No wire makes this load work at this speed"
    if len(matching.alike) == 1:
        return f"Filled with {wire_size(chosen.wire)} wire the bundle gives this load the most"
    return f"{_sizes(matching)} give this load {watts_text(chosen.point.load_watts)}, alike within 1 %"


def _sizes(matching: Matching) -> str:
    """Wires that give the load alike, as the subject of a sentence."""
    sizes = [choice.wire.diameter_mm for choice in matching.alike]
    if len(sizes) == 2:
        return f"{sizes[0]:g} and {sizes[1]:g} mm"
    return f"{len(sizes)} wires from {sizes[0]:g} to {sizes[-1]:g} mm"


def _terminals(study: LoadStudy) -> str:
    """Between what the volts of three phases are: bundles at their own heights do not give equal ones."""
    return "between terminals A and B" if study.layout.stacked else "between two terminals"


def _verdict(study: LoadStudy) -> str:
    point = study.point
    if not point.starts and number(study.cut_in_rpm) == number(point.speed_rpm):
        return "only just too slow for it to work"
    if not point.starts:
        return f"it does not work below {number(study.cut_in_rpm)} rpm"
    return words_of(study.load).verdict(study.load, point)


def _henries(henries: float) -> str:
    return quantity(henries * 1e6, "µH") if henries < 1e-3 else quantity(henries * 1e3, "mH")
