"""Can the motor of a hand fan light a tent when it is spun with a bootlace, and is rewinding it worth an afternoon?

Run with `python -m studies.rewound_motor.study`.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from optimizer.circuit.loads import Resistor
from optimizer.motors.motor_file import read_rewind
from optimizer.motors.rewinding import gain, no_load_volts, old_coils, pick, sweep

MOTOR = Path(__file__).parent / "motor.toml"
THICK_LAMP = Resistor(ohms=0.2)  # one that suits the old winding


def main() -> dict[str, float]:
    """Headline numbers: volts as found and rewound at the same speed, the wire picked, ohms and watts, of two lamps."""
    brief = read_rewind(MOTOR)
    old, chosen = old_coils(brief)[-1], pick(sweep(brief))
    thick = replace(brief, load=THICK_LAMP)
    volts = no_load_volts(chosen.armature, brief.turning.relative_rpm)
    return {
        "found_V": old.volts,
        "found_ohm": old.ohms,
        "rewound_V": chosen.volts,
        "turns_ratio": chosen.armature.turns_ratio,
        "wire_diameter_mm": chosen.armature.wire.diameter_mm,
        "room_share": chosen.armature.room_share,
        "rewound_ohm": chosen.ohms,
        "found_best_W": old.best_watts,
        "rewound_best_W": chosen.best_watts,
        "found_load_W": old.load_watts or 0.0,
        "load_W": chosen.load_watts or 0.0,
        "gain": gain(old_coils(brief), chosen),
        "found_thick_W": pick(old_coils(thick)).worth,
        "thick_W": pick(sweep(thick)).worth,
        "star_line_rms_V": volts["star"],
    }


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<20} {value:.3g}")
