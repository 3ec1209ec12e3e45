"""One bridge circuit as a netlist for ngspice, and what a run of it measures."""

import re
import shutil
import subprocess
from dataclasses import dataclass
from math import pi
from pathlib import Path

from optimizer.circuit.diodes import Diode, Drop

INSTALLED = shutil.which("ngspice") is not None
OWN_DROP = (
    0.0160  # V, of the netlist's nearly ideal diodes at a few tenths of an ampere; taken off the stated drop
)
PERIODS = 14  # run before the measurement


@dataclass(frozen=True)
class Case:
    """EMF amplitudes by odd order at `frequency` Hz, behind ohms and henries, into a load behind a bridge of `drop`."""

    amplitudes: dict[int, float]
    frequency: float
    resistance: float
    inductance: float
    drop: Drop
    load: str  # netlist lines between the nodes `dc` and `0`


def netlist(case: Case) -> str:
    """The circuit; diodes are nearly ideal, both drops stand as one source in the direct path."""
    lines = ["bridge"]
    damped = isinstance(case.drop, float)
    nodes = ["n0", *(f"n{order}" for order in case.amplitudes)]
    for before, (order, volts) in zip(nodes, case.amplitudes.items(), strict=False):
        lines.append(f"V{order} n{order} {before} SIN(0 {volts} {order * case.frequency})")
    lines += [
        f"Rs {nodes[-1]} m {case.resistance}",
        f"Ls m a {max(case.inductance, 1e-12)}",
        "Vi n0 b 0",
        *(["Ra a 0 1e7", "Rb b 0 1e7", "Rn a s 2k", "Cn s b 1n"] if damped else []),
        "D1 a p d", "D2 b p d", "D3 q a d", "D4 q b d",
    ]  # fmt: skip
    return "\n".join([*lines, *_measurements(case, "Vi")]) + "\n"


def _measurements(case: "Case | ThreeCase", ammeter: str) -> list[str]:
    """The direct path, the load and what is measured; both diodes' drops stand as one source."""
    step, period = 1 / case.frequency / 4000, 1 / case.frequency
    start, stop = PERIODS * period, (PERIODS + 2) * period
    return [
        *_diodes(case),
        "Vg q 0 0",
        case.load,
        ".options reltol=1e-4" + ("" if isinstance(case.drop, float) else " abstol=1e-11"),
        f".tran {step} {stop} {start} {step}",
        f".meas tran amps AVG I(Vd) FROM={start} TO={stop}",
        f".meas tran rms RMS I({ammeter}) FROM={start} TO={stop}",
        f".meas tran volts AVG V(dc) FROM={start} TO={stop}",
        f".meas tran square RMS V(dc) FROM={start} TO={stop}",
        ".end",
    ]


def _diodes(case: "Case | ThreeCase") -> list[str]:
    """Nearly ideal diodes and both drops as one source; or diodes that follow their own law.

    A few picofarads let the simulator get over the kinks of four diodes; with six they only make it slow.
    """
    drop = case.drop
    if isinstance(drop, Diode):
        few = " CJO=5p" if isinstance(case, Case) else ""
        return [f".model d D(IS={drop.saturation} N={drop.emission} RS={drop.ohms}{few})", "Vd p dc 0"]
    return [".model d D(IS=1e-6 N=0.05 RS=1e-3 CJO=20p)", f"Vd p dc {2 * (drop - OWN_DROP):.6g}"]


def _damping(phase: str) -> list[str]:
    return [
        f"Rp{phase} {phase} 0 1e7", f"Rs{phase} {phase} {phase}s 2k", f"Cs{phase} {phase}s 0 1n",
    ]  # fmt: skip


@dataclass(frozen=True)
class ThreeCase:
    """Three EMFs in star, each {odd order: (volts, degrees)}, behind ohms and henries, before six diodes."""

    emfs: tuple[dict[int, tuple[float, float]], ...]
    frequency: float
    resistance: float
    inductance: float
    drop: Drop
    load: str  # netlist lines between the nodes `dc` and `0`


def balanced(amplitudes: dict[int, float]) -> tuple[dict[int, tuple[float, float]], ...]:
    """Three equal EMFs, each a third of a period behind the one before."""
    return tuple(
        {order: (volts, -120.0 * order * phase) for order, volts in amplitudes.items()} for phase in range(3)
    )


def three_netlist(case: ThreeCase) -> str:
    """The circuit, as `netlist` has it."""
    lines = ["six diodes"]
    for phase, emf in zip("abc", case.emfs, strict=True):
        nodes = ["n", *(f"{phase}{order}" for order in emf)]
        for before, (order, (volts, degrees)) in zip(nodes, emf.items(), strict=False):
            wave = f"SIN(0 {volts} {order * case.frequency} 0 0 {degrees})"
            lines.append(f"V{phase}{order} {phase}{order} {before} {wave}")
        lines += [
            f"R{phase} {nodes[-1]} {phase}m {case.resistance}",
            f"L{phase} {phase}m {phase}l {max(case.inductance, 1e-12)}",
            f"Vi{phase} {phase}l {phase} 0",
            *(_damping(phase) if isinstance(case.drop, float) else []),
            f"Du{phase} {phase} p d",
            f"Dl{phase} q {phase} d",
        ]
    return "\n".join([*lines, *_measurements(case, "Via")]) + "\n"


def measured(case: Case | ThreeCase, folder: Path) -> dict[str, float]:
    """Run it: mean current in the direct path, RMS in the winding, mean and RMS volts at the load."""
    file = folder / "bridge.cir"
    file.write_text(netlist(case) if isinstance(case, Case) else three_netlist(case))
    run = subprocess.run(
        ["ngspice", "-b", str(file)], capture_output=True, text=True, timeout=120, check=False
    )
    return {
        name: float(value)
        for name, value in re.findall(r"^(amps|rms|volts|square)\s*=\s*(\S+)", run.stdout, re.M)
    }


def speed_of(case: Case | ThreeCase, pole_pairs: int) -> float:
    """rad/s of the shaft."""
    return 2 * pi * case.frequency / pole_pairs


def charging_seconds(case: Case, volts: float, longest: float, folder: Path) -> float:
    """Run it from the state that its load states (IC=) until the node `e` has so many volts, at most `longest` s."""
    lines = [line for line in netlist(case).splitlines() if not line.startswith((".tran", ".meas", ".end"))]
    step = 1 / case.frequency / 1000
    ends = [f".tran {step} {longest} 0 {step} UIC", f".meas tran charged WHEN V(e)={volts}", ".end"]
    file = folder / "charge.cir"
    file.write_text("\n".join([*lines, *ends]) + "\n")
    run = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, timeout=120, check=False)
    return float(re.findall(r"^charged\s*=\s*(\S+)", run.stdout, re.M)[0])
