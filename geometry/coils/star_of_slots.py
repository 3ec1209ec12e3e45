"""Which coils belong to which phase: the star of slots, winding factors, and whether a combination balances.

Coils stand evenly around the shaft, each a sector wide. Coil i of Q before N = 2p poles has the electrical angle
i · 2π p/Q; three phases take the coils whose angles lie within 30° of their own axis, or, connected the other way
round, of its opposite. Handbook factors: Gieras, Wang, Kamper, Axial Flux Permanent Magnet Brushless Machines, 2nd ed.
(2008), and Cros, Viarouge, IEEE Trans. Energy Convers. 17(2) (2002) (both from memory), checked in tests/validation.
"""

from __future__ import annotations

from cmath import exp, phase
from functools import lru_cache
from math import pi, sin

PhaseCoils = tuple[tuple[int, int], ...]
"""Coils of one phase in series order: index around the circle, and +1 or −1 for the sense it is connected in."""


@lru_cache(maxsize=256)
def star_of_slots(coils: int, poles: int, phases: int) -> tuple[PhaseCoils, ...]:
    """Coils of each phase; `phases` is 1 or 3.

    Raises ValueError when the combination cannot be connected: three phases that would not be equal and 120° apart,
    or, for one phase, coils that are not one per pole.
    """
    if phases == 1:
        if coils != poles:
            raise ValueError(f"one phase needs one coil per pole ({poles}), was {coils}")
        return (tuple((index, 1 - 2 * (index % 2)) for index in range(coils)),)
    found = _three_phases(coils, poles)
    if found is None:
        refused = f"{coils} coils before {poles} poles do not make three equal phases 120° apart"
        raise ValueError(refused + _would_serve(coils, poles))
    return found


def _three_phases(coils: int, poles: int) -> tuple[PhaseCoils, ...] | None:
    """None when they would not be equal and 120° apart."""
    sets: list[list[tuple[int, int]]] = [[], [], []]
    for index in range(coils):
        sixth = _nearest_sixth(index, coils, poles)
        # sixths of a turn in order are the axes A, −C, B, −A, C, −B
        sets[(0, 2, 1)[sixth % 3]].append((index, 1 if sixth % 2 == 0 else -1))
    found = tuple(_in_series(members, coils) for members in sets)
    return found if coils % 3 == 0 and _balanced(found, coils, poles) else None


def _would_serve(coils: int, poles: int) -> str:
    """The nearest numbers of coils below and above that serve: "; 9 or 18 would"."""
    serving = combinations(poles, 3)
    below = [str(count) for count in serving if count < coils][-1:]
    above = [str(count) for count in serving if count > coils][:1]
    return f"; {' or '.join(below + above)} would" if below + above else ""


def _in_series(members: list[tuple[int, int]], coils: int) -> PhaseCoils:
    """Once around from behind the widest gap, so that the wires from coil to coil are short."""
    gaps = [(index - members[at - 1][0] - 1) % coils + 1 for at, (index, _) in enumerate(members)]
    first = gaps.index(max(gaps)) if gaps else 0
    return (*members[first:], *members[:first])


def _nearest_sixth(index: int, coils: int, poles: int) -> int:
    """The nearest of the six axes, counted in sixths of an electrical turn; in whole numbers, so exact."""
    sixths = 6 * index * (poles // 2)
    return (2 * sixths + coils) // (2 * coils) % 6


def phasor(members: PhaseCoils, coils: int, poles: int, order: int = 1) -> complex:
    """Sum of the coils' unit EMF phasors at an odd `order` of the pole pairs."""
    step = 2 * pi * (poles // 2) * order / coils
    return sum((sense * exp(-1j * step * index) for index, sense in members), 0j)


def _balanced(sets: tuple[PhaseCoils, ...], coils: int, poles: int) -> bool:
    sums = [phasor(members, coils, poles) for members in sets]
    if min(len(members) for members in sets) == 0 or len({len(members) for members in sets}) > 1:
        return False
    if min(abs(total) for total in sums) < 1e-9:
        return False
    turns = [phase(sums[j] / sums[0]) * 3 / (2 * pi) for j in (1, 2)]
    third_apart = abs(abs(turns[0]) - 1) < 1e-9 and abs(turns[0] + turns[1]) < 1e-9
    return third_apart and max(abs(abs(total) / abs(sums[0]) - 1) for total in sums) < 1e-9


def distribution_factor(members: PhaseCoils, coils: int, poles: int, order: int = 1) -> float:
    """Length of the phasor sum over the number of coils, between 0 and 1."""
    return abs(phasor(members, coils, poles, order)) / len(members)


def pitch_factor(coils: int, poles: int, order: int = 1) -> float:
    """Pitch factor of a coil one sector wide with all its conductors at the sector's edges: |sin(k p π/Q)|."""
    return abs(sin(order * (poles // 2) * pi / coils))


def handbook_winding_factor(coils: int, poles: int, phases: int) -> float:
    """Distribution times pitch factor of the fundamental, as printed in tables."""
    members = star_of_slots(coils, poles, phases)[0]
    return distribution_factor(members, coils, poles) * pitch_factor(coils, poles)


def combinations(poles: int, phases: int) -> list[int]:
    """Coil counts that serve `poles` poles in `phases` phases.

    For three phases every balanced count from three coils per five poles to three per two; beyond, a coil spans so
    much more or less than a pole that it hardly serves.
    """
    if phases == 1:
        return [poles]
    return [
        coils
        for coils in range(3, 3 * poles // 2 + 1, 3)
        if 5 * coils >= 3 * poles and _three_phases(coils, poles) is not None
    ]
