"""What a machine of a comparison is built of, and what its figures are to be read with, in words."""

from __future__ import annotations

from geometry.machine.layout import Layout
from optimizer.motors.machines import Machine
from optimizer.motors.rewinding import Option, RewindBrief
from optimizer.words.machine_notes import layout_notes
from optimizer.words.rewind_words import leave_sentence, wire_name

OUTPUT_WORDS = {name: f"{name} with one load across two of its lines" for name in ("star", "delta")}


def built_words(machine: Machine) -> str:
    """A machine in a few words."""
    if machine.layout:
        return _layout_words(machine.layout, machine.magnets)
    return _motor_words(*machine.rewound) if machine.rewound else machine.kind


def note_sentences(machine: Machine) -> tuple[str, ...]:
    """What stands beside all figures of a machine."""
    if machine.layout:
        return layout_notes(machine.layout)
    leave = machine.rewound and leave_sentence(*machine.rewound)
    return (leave,) if leave else ()


def _layout_words(layout: Layout, magnets: int) -> str:
    winding = layout.winding
    coils = f"{layout.coils} {winding.topology} coils of {winding.turns} turns"
    if layout.coils == 1:
        coils = f"one {winding.topology} coil of {winding.turns} turns"
    if layout.phases == 3:
        coils += f", three phases in {winding.connection}"
    return f"{magnets} magnets, {coils}, {winding.wire.diameter_mm:g} mm wire"


def _motor_words(brief: RewindBrief, chosen: Option) -> str:
    new = chosen.armature
    gears = "".join(f", gears {gear.driver_teeth} : {gear.driven_teeth}" for gear in brief.turning.gears)
    return (
        f"{brief.motor.coils} coils of {new.turns:g} turns, {wire_name(chosen)} mm wire, "
        f"{OUTPUT_WORDS.get(new.output, new.output)}{gears}"
    )
