"""What does a pair of gears do for the rewound motor on a cranked flywheel?

Run with `python -m studies.geared_motor.study`.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.circuit.loads import Load, OpenCircuit, Resistor
from optimizer.motors.comparison import compare, machine_of_motor
from optimizer.motors.motor_file import read_rewind
from optimizer.rigs.rig_file import read_rig

HERE = Path(__file__).parent
LAMP = Resistor(ohms=22)  # the commutator gives direct current: no diodes


def main() -> dict[str, float]:
    """Headline numbers: the gear's ratio, volts with nothing joined and with the lamp, what the hand feels."""
    machine = machine_of_motor(read_rewind(HERE / "motor.toml"))
    rig = read_rig(HERE / "rig.toml")
    loads: tuple[Load, ...] = (OpenCircuit(), LAMP)
    free, lit = (compare([machine], load, rig)[0] for load in loads)
    return {
        "gear_ratio": machine.step_up,
        "flywheel_rpm": free.rpm / machine.step_up,
        "motor_rpm": free.rpm,
        "open_V": free.open_volts,
        "lamp_V": lit.volts,
        "lamp_W": lit.watts,
        "hand_W": lit.hand_watts,
        "hand_force_N": lit.hand_force or 0.0,
    }


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<14} {value:.3g}")
