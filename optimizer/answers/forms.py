"""The fields of the page's forms, as data: label, unit, choices and usual value of each key, out of the files' tables.

A form lists the keys that it shows, in groups; a key's words come from its table, but for what its form says otherwise.
Beside them goes what forms count with: combinations of coils, sizes and grades of magnets.
"""

from __future__ import annotations

from functools import cache
from math import pi
from typing import Any

from geometry.coils.bundle import Envelope
from geometry.coils.star_of_slots import combinations, handbook_winding_factor
from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.curves.curve import Curve, polyline, rotated_curve
from geometry.drawing.primitives import Path
from geometry.files.key_tables import Table
from geometry.files.schema import KeyEntry, file_keys, key_entries
from geometry.files.values import is_list
from geometry.machine.layout_file import SIZES, LayoutTable
from geometry.stock.magnet import GRADES, Magnet
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.wire import AWG, USUAL_MM
from geometry.writers.svg import path_data
from optimizer.answers.page_violations import MOST_MAGNETS
from optimizer.brief.brief import BriefTable
from optimizer.circuit.loads import KINDS
from optimizer.loads.load_file import LoadTable, keys_of
from optimizer.motors.motor import OUTPUTS
from optimizer.motors.motor_tables import SpecTable
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.rig import SEALS
from optimizer.rigs.rig_file import RigTable
from optimizer.words.loads import WORDS

TABLES: dict[str, type[Table]] = {
    "design": LayoutTable, "brief": BriefTable, "load": LoadTable, "rig": RigTable, "motor": SpecTable,
}  # fmt: skip
MAGNET = (
    "shape", *(own.name for own in SIZES.values()),
    "thickness_mm", "grade", "remanence_T", "recoil_permeability", "temperature_C", "pull_N",
)  # fmt: skip
GROUPS: dict[str, dict[str, tuple[str, ...]]] = {
    "design": {
        "Magnets": ("carrier.count", *(f"carrier.magnet.{key}" for key in MAGNET), "carrier.pitch_radius_mm",
                    "carrier.arrangement", "carrier.plate_mm"),
        "Coil": ("winding.topology", "winding.phases", "winding.coils", "winding.stacking", "winding.connection",
                 "winding.inner_radius_mm", "winding.outer_radius_mm", "winding.width_mm", "winding.height_mm",
                 "winding.turns", "winding.wire.diameter_mm", "winding.wire.awg", "winding.wire.enamel_grade",
                 "winding.wire.strands", "winding.peg_diameter_mm", "winding.fill_factor"),
        "Running": ("operation.air_gap_mm", "operation.speed_rpm"),
        "Disc": ("space.outer_diameter_mm", "space.bore_diameter_mm", "space.wall_mm", "title"),
    },
    "brief": {
        "What for": ("title",),
        "Space": ("space.outer_diameter_mm", "space.bore_diameter_mm", "space.wall_mm", "space.air_gap_mm",
                  "space.coil_height_mm"),
        "Speed": ("speed.rpm",),
        "Carrier": ("rotor.arrangement", "rotor.plate_mm"),
        "Magnets that can be had": tuple(f"magnets.{key}" for key in (*MAGNET, "quantity", "price")),
        "Spools at hand": ("spools.diameter_mm", "spools.awg", "spools.enamel_grade", "spools.length_m",
                           "spools.mass_g", "spools.price"),
        "Wire": ("wire.length_m", "wire.resistance_ohm", "wire.fill_factor", "wire.peg_diameter_mm",
                 "coil.least_layers", "wire.enamel_grade", "wire.strands"),
        "Ticks": ("wire.diameters_mm", "wire.awg", "coil.topologies", "coil.phases"),
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
            "motor.wire_awg", "motor.resistance_ohm", "motor.speed_constant_rpm_per_V", "motor.brushes_ohm",
            "motor.slot_area_mm2", "motor.inductance_mH"),
        "What to wind": ("rewind.wires_mm", "rewind.wires_awg", "rewind.turns", "rewind.enamel_grade",
                         "rewind.fill_factor", "rewind.room_ratio", "rewind.output", "rewind.diode"),
        "Who turns it": ("turning.shaft_rpm", "turning.body_rpm"),
        "Prices, for the cost of the wire": ("prices.currency", "prices.wire_per_m", "prices.wire_per_kg"),
    },
}  # fmt: skip
"""By form and heading, the keys in the order shown."""
LABELS = {
    ("brief", "space.outer_diameter_mm"): "Outer diameter, at most",
    ("brief", "space.bore_diameter_mm"): "Bore, kept clear",
    ("brief", "rotor.plate_mm"): "Steel plate (0: none)",
    ("brief", "spools.awg"): "or AWG",
    ("brief", "spools.length_m"): "Length, in one piece",
    ("brief", "spools.mass_g"): "or mass, without the spool",
    ("brief", "spools.price"): "Price of the whole spool",
    ("design", "carrier.plate_mm"): "Steel plate (0: none)",
}
"""Where a form asks for a key in words of its own."""
SLIDES: dict[str, tuple[Any, ...]] = {
    "carrier.count": (2, 40, 2),
    "carrier.magnet.diameter_mm": (3, 50, 0.5),
    "carrier.magnet.bore_mm": (1, 30, 0.5),
    "carrier.magnet.length_mm": (3, 60, 0.5),
    "carrier.magnet.width_mm": (3, 60, 0.5),
    "carrier.magnet.inner_radius_mm": (3, 0.5, 0.1, "space.outer_diameter_mm"),
    "carrier.magnet.outer_radius_mm": (5, 0.55, 0.1, "space.outer_diameter_mm"),
    "carrier.magnet.angle_deg": (1, 90, 0.1),
    "carrier.magnet.thickness_mm": (1, 20, 0.5),
    "carrier.magnet.remanence_T": (0.1, 1.5, 0.01),
    "carrier.magnet.recoil_permeability": (1, 1.3, 0.01),
    "carrier.magnet.temperature_C": (-40, 150, 5),
    "carrier.pitch_radius_mm": (5, 0.55, 0.1, "space.outer_diameter_mm"),
    "carrier.plate_mm": (0, 10, 0.5),
    "winding.inner_radius_mm": (3, 0.5, 0.1, "space.outer_diameter_mm"),
    "winding.outer_radius_mm": (5, 0.575, 0.1, "space.outer_diameter_mm"),
    "winding.width_mm": (0.5, 20, 0.1),
    "winding.height_mm": (0.5, 15, 0.1),
    "winding.turns": (1, 400, 1),
    "winding.peg_diameter_mm": (1, 12, 0.1),
    "winding.fill_factor": (0.3, 0.9, 0.01),
    "operation.air_gap_mm": (0.5, 8, 0.1),
    "operation.speed_rpm": (20, 2000, 10),
    "space.outer_diameter_mm": (40, 300, 1),
    "space.bore_diameter_mm": (5, 120, 1),
    "space.wall_mm": (0, 8, 0.1),
}
"""Ends and step of the design's sliders, which widen for values beyond; an upper end may be a share of another key."""
WIRES = {f"{size:g}": f"{size:g}" for size in USUAL_MM}
GAUGES = {gauge: diameter * 1e3 for gauge, diameter in AWG.items() if 0.1e-3 <= diameter <= 1.1e-3}  # mm
PHASES = {"1": "1 phase", "3": "3 phases"}
ENAMEL = {"1": "grade 1", "2": "grade 2, thicker"}
OPTIONS = {
    ("design", "winding.phases"): PHASES,
    ("design", "winding.wire.diameter_mm"):
        WIRES | {f"{size:g}": f"AWG {gauge} ({size:.3g})" for gauge, size in GAUGES.items()},
    ("design", "winding.wire.enamel_grade"): ENAMEL,
    ("design", "winding.stacking"): {
        "layered": "layered: A, B, C one above another",
        "interleaved": "interleaved: in halves, A B C C B A",
    },
    ("design", "carrier.arrangement"): {
        "single": "single: one carrier, one coil",
        "facing": "facing: two carriers, coil between",
        "two-sided": "two-sided: a coil on each side",
    },
    ("brief", "wire.enamel_grade"): ENAMEL,
    ("brief", "spools.enamel_grade"): {"": "as below", **ENAMEL},
    ("brief", "wire.diameters_mm"): WIRES,
    ("brief", "wire.awg"): {f"{gauge}": f"{gauge} ({size:.3g} mm)" for gauge, size in GAUGES.items()},
    ("brief", "coil.phases"): PHASES,
    ("brief", "goal.maximise"): {
        "emf_rms": "highest voltage",
        "power": "most power into a matched load",
        "load_power": "most power into a load of mine",
        "lowest_speed": "lowest speed at which my load works",
    },
    ("motor", "rewind.output"): {name: f"{name}: {words}" for name, words in OUTPUTS.items()},
    ("rig", "bearings.seals"): {"": "as bought", **{name: name.replace("-", " ") for name in SEALS}},
}
"""Words for what a list offers, where the names in the file say too little."""
LONG = frozenset({"title", "rewind.wires_mm", "rewind.output"})  # fields over the form's whole width


def forms() -> dict[str, Any]:
    """Every form's fields by key, the headings of those that stand in groups, and what the forms count with."""
    fields = {form: {e.name: _field(form, e) for e in key_entries(table)} for form, table in TABLES.items()}
    return {
        "fields": fields,
        "groups": {
            form: [[name, list(keys)] for name, keys in groups.items()] for form, groups in GROUPS.items()
        },
        "mechanisms": {name: kind.LABEL for name, kind in MECHANISMS.items()},
        "loads": {name: [*sum(keys_of(name), ())] for name in KINDS},
        "sizes": {name: [own.name for own in file_keys(kind).values()] for name, kind in SHAPES.items()},
        "remanences": {row.name: [row.remanence, row.recoil_permeability] for row in GRADES.values()},
        "combinations": {str(poles): _combinations(poles) for poles in range(2, MOST_MAGNETS + 1, 2)},
        "concentrated": [topology.name for topology in TOPOLOGIES.values() if topology.concentrated],
    }


@cache
def _combinations(poles: int) -> list[list[float]]:
    """The numbers of coils that make three phases before so many magnets, each with its handbook winding factor."""
    return [[coils, round(handbook_winding_factor(coils, poles, 3), 3)] for coils in combinations(poles, 3)]


def _field(form: str, entry: KeyEntry) -> dict[str, Any]:
    """One field for the page; what is empty is left out."""
    name = entry.name
    optional = entry.default is None or entry.optional_table
    ticked = form == "brief" and entry.repeated and name not in ("printer.bed_mm", "wire.strands")
    found = {
        "label": LABELS.get((form, name), entry.label),
        "unit": entry.unit,
        "usual": "" if optional else _written(entry.default),
        "start": entry.example,
        "text": entry.repeated or (entry.says["type"] == "string" and not entry.choices),
        "long": name in LONG,
        "ticks" if ticked else "options": list(_options(form, entry).items()),
        "slide": SLIDES.get(name, ()) if form == "design" else (),
        "pictures": _pictures(name),
    }
    return {key: value for key, value in found.items() if value}


def _pictures(name: str) -> dict[str, list[str]]:
    if name == "winding.topology":
        return {name: coil_icon(shape) for name, shape in TOPOLOGIES.items()}
    return {name: magnet_icon(kind) for name, kind in SHAPES.items()} if name == "carrier.magnet.shape" else {}


def _options(form: str, entry: KeyEntry) -> dict[str, str]:
    if entry.name.rpartition(".")[2] == "kind" and form in ("load", "brief"):
        return {name: WORDS[kind].name for name, kind in KINDS.items() if kind.TAKES_CURRENT}
    plain = {name: name.replace("-", " ") if form == "rig" else name for name in entry.choices}
    return OPTIONS.get((form, entry.name), plain)


def _written(value: object) -> str:
    if is_list(value):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


COIL = Envelope(inner_radius=8e-3, outer_radius=21e-3, width=2e-3, sectors=8, peg_radius=1e-3)
ICON_SIZES = {"bore": 5e-3, "inner_radius": 18e-3, "outer_radius": 30e-3, "angle_deg": 36.0}  # m, °
USUAL, PITCH = 14e-3, 24e-3  # m; of any other size, and from the shaft
EDGE = 0.06  # of the picture's size, left free around it


def coil_icon(shape: Topology) -> list[str]:
    """The middle turn of one coil of that shape, or of a wave winding around the shaft."""
    return _icon(shape.turn(COIL, 0.0))


def magnet_icon(kind: type[Magnet]) -> list[str]:
    """The face of a magnet of that shape, with its hole."""
    sizes: dict[str, Any] = {name: ICON_SIZES.get(name, USUAL) for name in file_keys(kind)}
    magnet = kind(**sizes, thickness=USUAL, remanence=1.0)
    return _icon(magnet.outline(PITCH), magnet.hole(PITCH))


def _icon(edge: Curve, hole: Curve | None = None) -> list[str]:
    """SVG's view box (x, y, width, height) and path data, mm, of closed curves whose axis points up the page."""
    curves = [rotated_curve(curve, pi / 2) for curve in (edge, hole) if curve]
    points = polyline(curves[0], step=1e-3, sagitta=1e-5) * 1e3
    middle = complex(points.real.min() + points.real.max(), points.imag.min() + points.imag.max()) / 2
    size = (1 + 2 * EDGE) * float(max(points.real.max() - points.real.min(), points.imag.max() - points.imag.min()))
    box = (middle.real - size / 2, -middle.imag - size / 2, size, size)
    return [
        " ".join(f"{number:.2f}" for number in box),
        " ".join(path_data(Path(curve, closed=True)) for curve in curves),
    ]
