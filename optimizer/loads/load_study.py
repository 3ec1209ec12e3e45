"""A layout with a load, in one value: the source, the load point, the curves, the meters, the wire that suits."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from math import pi
from typing import Any

from geometry.machine.layout import Layout
from optimizer.circuit.diodes import SILICON
from optimizer.circuit.load_point import RPM, LoadPoint
from optimizer.circuit.loads import Load, OpenCircuit, Resistor
from optimizer.circuit.steady import steady_state
from optimizer.circuit.steady_three import circulating_square
from optimizer.circuit.thevenin import Source, source_of
from optimizer.evaluation.inductance import Inductances, inductances
from optimizer.evaluation.inductance_formulas import Formula, coil_formula
from optimizer.evaluation.thermal import Warming, bearable_current, phase_current, warming
from optimizer.evaluation.wire_losses import WireLosses, wire_losses
from optimizer.jobs.documents import rounded
from optimizer.loads.cut_in import starting_speed
from optimizer.loads.hazards import Hazard, heat_hazards, load_hazards, turning_layout
from optimizer.loads.load_curves import LoadCurve, SpeedCurve, load_curve, speed_curve
from optimizer.loads.load_file import load_document
from optimizer.loads.matching import Matching, match_wire, standard_wires
from optimizer.loads.meters import MeterTable, meter_table
from optimizer.rigs.draw import Draw, steady_draw
from optimizer.words.caution_words import caution_document
from optimizer.words.draw_words import draw_values
from optimizer.words.machine_notes import layout_notes, plate_document

FASTER = 2.0  # the speed curve goes to so many times the speed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadStudy:
    """Everything that `polepitch load` shows. temperature: of the copper, °C; starts_rpm: where output begins."""

    layout: Layout
    load: Load
    temperature: float
    source: Source
    inductances: Inductances
    formula: Formula
    losses: WireLosses
    point: LoadPoint
    starts_rpm: float
    warming: Warming
    meters: MeterTable
    curve: LoadCurve | None
    draw: Draw | None
    speeds: SpeedCurve
    matching: Matching

    @property
    def reactance(self) -> float:
        """Ω, of the fundamental at the point's speed; of a phase among its fellows."""
        return 2 * pi * self.point.frequency_Hz * (self.source.inductance - self.source.mutual)

    @property
    def notes(self) -> tuple[str, ...]:
        """Thin steel and the model's own error, in sentences."""
        return layout_notes(self.layout)

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites with this load at this speed."""
        rpm = self.point.speed_rpm
        peak = self.source.peak_constant * rpm * RPM
        turning = turning_layout(self.layout, rpm, peak)
        heat = heat_hazards(self.layout, self.point.copper_watts, self.temperature)
        return *turning.hazards, *heat, *load_hazards(self.load, peak, rpm, self.point.dc_volts)

    @property
    def bearable_amps(self) -> float:
        """A rms in each phase that the enamel bears all the time."""
        return bearable_current(self.layout)

    @property
    def burns(self) -> bool:
        """Whether the copper's own heat is more than its enamel bears, so that no final warmth can be told."""
        return phase_current(self.layout, self.point.copper_watts, self.temperature) > self.bearable_amps

    @property
    def around_watts(self) -> float:
        """W that a current around a delta loses in the copper, load or not; zero otherwise."""
        if self.source.connection != "delta":
            return 0.0
        square = circulating_square(self.source, self.point.speed_rpm * RPM)
        return 3 * square * self.source.resistance

    def rows(self) -> list[dict[str, Any]]:
        """A tidy table: the load at rising speed, one flat dictionary for each speed."""
        return [point_values(point) for point in self.speeds.points]

    def as_dict(self) -> dict[str, Any]:
        """For JSON: units in the names, seven significant digits."""
        point = point_values(self.point)
        return {
            "title": self.layout.title,
            "cautions": caution_document(self.hazards),
            "temperature_C": self.temperature,
            **{name: point[name] for name in ("shaft_W", "load_W", "eddy_W", "efficiency")},
            **rounded(draw_values(self.draw)),
            "plate": plate_document(self.layout),
            "source": _source_values(self),
            "load": load_document(self.load),
            "point": point | {"starts_at_rpm": rounded(self.starts_rpm)},
            "temperature_rise_K": None
            if self.burns
            else rounded(
                {"estimate": self.warming.rise, "least": self.warming.least, "most": self.warming.most}
            ),
            "enamel_bears_A": rounded(self.bearable_amps),
            "meters_V": rounded(asdict(self.meters)),
            "by_load": _curve_values(self.curve),
            "by_speed": self.rows(),
            "by_wire": _matching_values(self.matching),
        }


def study_load(
    layout: Layout, load: Load, *, speed_rpm: float | None = None, temperature: float = 20.0
) -> LoadStudy:
    """The layout with the load at `speed_rpm` (its own when None, above zero), copper at `temperature` in °C."""
    rpm = layout.speed_rpm if speed_rpm is None else speed_rpm
    source = source_of(layout, temperature)
    point = steady_state(source, load, rpm)
    drop = SILICON if isinstance(load, OpenCircuit | Resistor) else load.drop
    grade = layout.winding.wire.grade
    curve = load_curve(source, load, rpm)
    return LoadStudy(
        layout=layout,
        load=load,
        temperature=temperature,
        source=source,
        inductances=inductances(layout),
        formula=coil_formula(layout),
        losses=wire_losses(layout, rpm),
        point=point,
        starts_rpm=starting_speed(source, load) / RPM,
        warming=warming(layout, point.copper_watts + point.eddy_watts),
        meters=meter_table(source, point, drop),
        curve=curve,
        draw=steady_draw(source, load, curve, rpm),
        speeds=speed_curve(source, load, FASTER * rpm),
        matching=match_wire(
            layout, source, load, speed_rpm=rpm, temperature=temperature, wires=standard_wires(grade)
        ),
    )


def point_values(point: LoadPoint) -> dict[str, Any]:
    """A load point for JSON, without its waveforms."""
    numbers = {
        "speed_rpm": point.speed_rpm,
        "frequency_Hz": point.frequency_Hz,
        "dc_V": point.dc_volts,
        "dc_A": point.dc_amps,
        "load_W": point.load_watts,
        "shaft_W": point.shaft_watts,
        "copper_W": point.copper_watts,
        "diode_W": point.diode_watts,
        "converter_W": point.converter_watts,
        "eddy_W": point.eddy_watts,
        "efficiency": point.efficiency,
        "winding_rms_A": point.current_rms,
        "conducting_share": point.conducting_share,
        "shaft_torque_Nm": point.torque,
    }
    return {**rounded(numbers), "starts": point.starts, "full": point.full}


def _source_values(study: LoadStudy) -> dict[str, Any]:
    numbers = {
        "emf_rms_V": study.source.emf_constant * study.point.speed_rpm * RPM,
        "resistance_ohm": study.source.resistance,
        "terminal_resistance_ohm": study.source.terminal_resistance,
        "inductance_H": study.inductances.phase,
        "coil_inductance_H": study.inductances.coil,
        "coil_inductance_by_formula_H": study.formula.inductance,
        "mutual_inductance_H": study.source.mutual,
        "reactance_ohm": study.reactance,
        "skin_depth_mm": study.losses.skin_depth * 1e3,
        "skin_resistance_rise": study.losses.resistance_rise,
        "eddy_W": study.losses.eddy_watts,
    }
    words = {"formula": study.formula.name, "phases": study.source.phases}
    return rounded(numbers) | words | {"connection": study.source.connection or None}


def _curve_values(curve: LoadCurve | None) -> dict[str, Any] | None:
    if curve is None:
        return None
    unit = "ohm" if curve.quantity == "ohms" else "V"
    rows = [
        {f"load_{unit}": rounded(float(v))} | point_values(p)
        for v, p in zip(curve.values, curve.points, strict=True)
    ]
    return {f"best_{unit}": rounded(curve.best), "best": point_values(curve.best_point), "points": rows}


def _matching_values(matching: Matching) -> dict[str, Any]:
    rows = [
        {"wire_diameter_mm": choice.wire.diameter_mm, "turns": choice.turns}
        | rounded(
            {
                "wire_length_m": choice.length,
                "emf_rms_V": choice.emf_rms,
                "resistance_ohm": choice.resistance,
                "terminal_resistance_ohm": choice.terminal_resistance,
            }
        )
        | {"load_W": rounded(choice.point.load_watts)}
        for choice in matching.choices
    ]
    return {"best_wire_diameter_mm": matching.chosen.wire.diameter_mm, "wires": rows}
