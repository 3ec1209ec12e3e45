"""Disc magnets and a serpentine coil, the rewound motor, or that motor with gears: which for the bird hide's light?

Run with `python -m studies.three_ways.study`.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeResistor
from optimizer.motors.comparison import ComparisonEntry, compare, read_machine
from optimizer.rigs.rig_file import read_rig

STUDIES = Path(__file__).parents[1]
MACHINES = {
    "discs": STUDIES / "pump_flywheel" / "layout.toml",
    "motor": STUDIES / "rewound_motor" / "motor.toml",
    "geared": STUDIES / "geared_motor" / "motor.toml",
}
RIG = STUDIES / "pump_flywheel" / "rig.toml"
LAMP = BridgeResistor(ohms=33, drop=DIODES["schottky"])


def entries() -> tuple[ComparisonEntry, ...]:
    """The three machines under the rig and the lamp, in the order of `MACHINES`."""
    return compare([read_machine(path) for path in MACHINES.values()], LAMP, read_rig(RIG))


def main() -> dict[str, float]:
    """Headline numbers: volts, watts and the hand's watts of each."""
    found: dict[str, float] = {}
    for name, entry in zip(MACHINES, entries(), strict=True):
        found |= {
            f"{name}_open_V": entry.open_volts,
            f"{name}_load_V": entry.volts,
            f"{name}_load_W": entry.watts,
            f"{name}_hand_W": entry.hand_watts,
            f"{name}_efficiency": entry.efficiency,
        }
    return found


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<18} {value:.3g}")
