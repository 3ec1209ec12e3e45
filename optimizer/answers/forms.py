"""The fields of the page's forms, as data: label, unit, choices and usual value of each key, out of the files' tables.

A form lists the keys that it shows, in groups; a key's words come from its table, but for what its form says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from geometry.files.key_tables import Table
from geometry.files.schema import KeyEntry, key_entries
from geometry.files.values import is_list
from geometry.machine.layout_file import LayoutTable
from geometry.stock.magnet import size_key
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.wire import USUAL_MM
from optimizer.brief.brief import BriefTable
from optimizer.circuit.loads import KINDS
from optimizer.loads.load_file import LoadTable, keys_of
from optimizer.motors.motor import OUTPUTS
from optimizer.motors.motor_tables import SpecTable
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.rig_tables import RigTable
from optimizer.words.loads import WORDS

TABLES: dict[str, type[Table]] = {
    "design": LayoutTable, "brief": BriefTable, "load": LoadTable, "rig": RigTable, "motor": SpecTable,
}  # fmt: skip
GROUPS: dict[str, dict[str, tuple[str, ...]]] = {
    "brief": {
        "What for": ("title",),
        "Space": ("space.outer_diameter_mm", "space.bore_diameter_mm", "space.wall_mm", "space.air_gap_mm",
                  "space.coil_height_mm"),
        "Speed": ("speed.rpm",),
        "Carrier": ("rotor.arrangement", "rotor.plate_mm"),
        "Magnets that can be had": tuple(f"magnets.{key}" for key in (
            "shape", *dict.fromkeys(size_key(size) for kind in SHAPES.values() for size in kind.SIZES),
            "thickness_mm", "grade", "remanence_T", "recoil_permeability", "temperature_C", "quantity")),
        "Wire": ("wire.length_m", "wire.resistance_ohm", "wire.fill_factor", "wire.peg_diameter_mm",
                 "coil.least_layers", "wire.enamel_grade"),
        "Ticks": ("wire.diameters_mm", "coil.topologies", "coil.phases"),
        "Goal": ("goal.load_W",),
        "Printer": ("printer.bed_mm",),
        "Prices": ("prices.currency", "prices.magnet", "prices.wire_per_m", "prices.wire_per_kg",
                   "prices.plastic_per_kg"),
    },
    "rig": {
        "The hand (left empty: a grown-up's)": (
            "mover.cadence_per_minute", "mover.push_share", "mover.force_N", "mover.top_speed_m_per_s",
            "mover.lasting_power_W"),
        "Flywheel": ("flywheel.mass_kg", "flywheel.shape", "flywheel.outer_diameter_mm",
                     "flywheel.inner_diameter_mm", "flywheel.material"),
        "Bearings": ("bearings.kind", "bearings.bore_mm", "bearings.seals", "bearings.seal_torque_Nm"),
        "To be charged": ("charge.volts", "charge.capacity_mAh"),
    },
    "motor": {
        "The motor as found": (
            "title", "motor.coils", "motor.turns", "motor.wire_diameter_mm", "motor.mean_turn_mm", "motor.volts",
            "motor.rpm", "motor.magnet_arc_deg", "motor.no_load_A", "motor.mass_g"),
        "Also measured, or in place of the above": (
            "motor.resistance_ohm", "motor.speed_constant_rpm_per_V", "motor.brushes_ohm", "motor.slot_area_mm2",
            "motor.inductance_mH"),
        "What to wind": ("rewind.wires_mm", "rewind.turns", "rewind.enamel_grade", "rewind.fill_factor",
                         "rewind.room_ratio", "rewind.output", "rewind.diode"),
        "Who turns it": ("turning.shaft_rpm", "turning.body_rpm"),
        "Prices, for the cost of the wire": ("prices.currency", "prices.wire_per_m", "prices.wire_per_kg"),
    },
}  # fmt: skip
"""By form and heading, the keys in the order shown."""
LABELS = {
    ("brief", "space.outer_diameter_mm"): "Outer diameter, at most",
    ("brief", "space.bore_diameter_mm"): "Bore, kept clear",
    ("brief", "rotor.plate_mm"): "Steel plate (0: none)",
}
"""Where a form asks for a key in words of its own."""
TICKS = {
    "wire.diameters_mm": {f"{size:g}": f"{size:g}" for size in USUAL_MM},
    "coil.phases": {"1": "1 phase", "3": "3 phases"},
}
ENAMEL = {"1": "grade 1", "2": "grade 2, thicker"}
LONG = frozenset({"title", "rewind.wires_mm", "rewind.output"})  # fields over the form's whole width


def forms() -> dict[str, Any]:
    """Every form's fields by key, and the headings of those that stand in groups."""
    fields = {form: {e.name: _field(form, e) for e in key_entries(table)} for form, table in TABLES.items()}
    return {
        "fields": fields,
        "groups": {
            form: [[name, list(keys)] for name, keys in groups.items()] for form, groups in GROUPS.items()
        },
        "mechanisms": {name: kind.LABEL for name, kind in MECHANISMS.items()},
        "loads": [
            {"kind": name, "name": WORDS[kind].name, "keys": [*sum(keys_of(name), ())]} for name, kind in KINDS.items()
        ],
    }


def _field(form: str, entry: KeyEntry) -> dict[str, Any]:
    """One field for the page; what is empty is left out."""
    name = entry.name
    optional = entry.default is None or entry.optional_table
    ticked = form == "brief" and entry.repeated and name != "printer.bed_mm"
    found = {
        "label": LABELS.get((form, name), entry.label),
        "unit": entry.unit,
        "usual": "" if optional else _written(entry.default),
        "start": entry.example,
        "text": entry.repeated or (entry.says["type"] == "string" and not entry.choices),
        "long": name in LONG,
        "options": [] if ticked else list(_options(form, entry).items()),
        "ticks": list((TICKS.get(name) or _plain(entry.choices)).items()) if ticked else [],
    }
    return {key: value for key, value in found.items() if value}


def _options(form: str, entry: KeyEntry) -> Mapping[str, str]:
    if form == "motor" and entry.name == "rewind.output":
        return {name: f"{name}: {words}" for name, words in OUTPUTS.items()}
    if form == "brief" and entry.name == "wire.enamel_grade":
        return ENAMEL
    words = {name: name.replace("-", " ") if form == "rig" else name for name in entry.choices}
    return {"": "as bought"} | words if entry.name == "bearings.seals" else words


def _plain(names: tuple[str, ...]) -> dict[str, str]:
    return {name: name for name in names}


def _written(value: object) -> str:
    if is_list(value):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)
