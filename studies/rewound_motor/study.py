"""Can a motor from a broken toy light the science club's reading lamp when it is spun by hand?

Run with `python -m studies.rewound_motor.study`.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.motor_file import read_rewind
from optimizer.rewind import no_load_volts, old_coils, pick, sweep

MOTOR = Path(__file__).parent / "motor.toml"


def main() -> dict[str, float]:
    """Headline numbers: volts as found and rewound at the same speed, the wire picked, ohms and watts."""
    brief = read_rewind(MOTOR)
    old, chosen = old_coils(brief)[-1], pick(sweep(brief))
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
        "load_W": chosen.load_watts or 0.0,
        "star_line_rms_V": volts.star_line,
    }


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<20} {value:.3g}")
