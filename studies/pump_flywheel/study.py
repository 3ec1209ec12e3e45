"""How many volts does a disc-magnet rig give that is pumped by hand onto a flywheel, and what decides it?

Run with `python -m studies.pump_flywheel.study`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from geometry.machine.layout import Layout
from geometry.machine.layout_file import read_layout
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.drivetrain import rotor_of
from optimizer.rigs.hand_drive import drive
from optimizer.rigs.mechanisms import Pump
from optimizer.rigs.rig import Rig
from optimizer.rigs.rig_file import read_rig

HERE = Path(__file__).parent


def run(layout: Layout, rig: Rig) -> DriveRun:
    """A minute of pumping from rest into the lamp."""
    assert rig.load is not None
    return drive(_source(layout), rig.load, rig, rotor_of(layout))


@cache
def _source(layout: Layout) -> TheveninSource:
    return thevenin_of(layout)


def changed(layout: Layout, rig: Rig) -> Mapping[str, tuple[Layout, Rig]]:
    """The machine and its rig with one assumption changed at a time."""
    pump, operator, wheel = rig.mechanism, rig.operator, rig.flywheel
    assert isinstance(pump, Pump)
    assert wheel is not None
    assert wheel.mass is not None
    winding = layout.winding

    def asked_hand_speed(factor: float) -> Rig:
        return replace(rig, operator=replace(operator, cadence_per_minute=factor * operator.cadence_per_minute))

    def lead(factor: float) -> Rig:
        return replace(rig, mechanism=replace(pump, lead=factor * pump.lead))

    def turns(factor: float) -> Layout:
        return replace(layout, winding=replace(winding, turns=round(factor * winding.turns)))

    return {
        "beat 10 % slower": (layout, asked_hand_speed(0.9)),
        "beat 10 % faster": (layout, asked_hand_speed(1.1)),
        "lead 10 % shorter": (layout, lead(0.9)),
        "lead 10 % longer": (layout, lead(1.1)),
        "turns 10 % fewer": (turns(0.9), rig),
        "turns 10 % more": (turns(1.1), rig),
        "air gap 1 mm more": (replace(layout, air_gap=layout.air_gap + 1e-3), rig),
        "hand half as strong": (layout, replace(rig, operator=replace(operator, force=operator.force / 2))),
        "friction 0.10": (layout, replace(rig, mechanism=replace(pump, friction_coefficient=0.10))),
        "friction 0.25": (layout, replace(rig, mechanism=replace(pump, friction_coefficient=0.25))),
        "flywheel half as heavy": (layout, replace(rig, flywheel=replace(wheel, mass=wheel.mass / 2))),
    }


def main() -> dict[str, float]:
    """Headline numbers: volts, rpm, watts, seconds to 5 V, stored joules; volts with one assumption changed."""
    layout, rig = read_layout(HERE / "layout.toml"), read_rig(HERE / "rig.toml")
    base = run(layout, rig)
    headline = {
        "volts": base.settled.dc_volts,
        "rpm": base.settled.rpm,
        "load_watts": base.settled.load_watts,
        "hand_watts": base.settled.hand_watts,
        "seconds_to_5_volts": base.useful_after or float("nan"),
        "stored_joules": base.most_stored,
        "imbalance": base.energies.imbalance,
    }
    return headline | {name: run(*pair).settled.dc_volts for name, pair in changed(layout, rig).items()}


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<24} {value:.4g}")
