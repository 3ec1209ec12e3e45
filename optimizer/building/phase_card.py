"""What the card of a three-phase winding adds: line voltage, readings between terminals, checks of the joint."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from geometry.curves.curve import Complex
from geometry.drawing.coil_drawing import joint_words, stacking_words
from geometry.machine.layout import Layout
from optimizer.field.emf import MachineEmf
from optimizer.words.machine_words import LIKE, each_words
from optimizer.words.wording import quantity

CIRCULATING = 0.05  # of a phase's EMF; more across the open delta heats it when it is closed


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCard:
    """Three phases joined in star or delta. EMFs open circuit, V rms at the layout's speed.

    joint: how they are joined; stacking: how the bundles lie over each other, empty for coils side by side.
    emfs: of each phase alone; bundles farther from the magnets give less. lines: between the pairs of terminals AB, BC,
    CA once the phases are joined: without what runs around a closed delta.
    line_share: resistance between two terminals over that of a phase.
    one_reversed: least and most that a phase gives with one of its coils the wrong way round. phase_reversed: likewise
    of the pairs of terminals that show a phase the wrong way round, in star. open_corner: across the last joint of a
    delta before it is closed; open_corner_reversed: at least, with one phase the wrong way round.
    """

    connection: str
    joint: str
    stacking: str
    emfs: tuple[float, ...]
    lines: tuple[float, ...]
    line_share: float
    one_reversed: tuple[float, float]
    phase_reversed: tuple[float, float]
    open_corner: float
    open_corner_reversed: float

    @property
    def star(self) -> bool:
        """Whether the phases are joined in star."""
        return self.connection == "star"

    @property
    def circulates(self) -> bool:
        """Whether a closed delta drives a current worth speaking of around itself."""
        return not self.star and self.open_corner > CIRCULATING * max(self.emfs)

    @property
    def one_reversed_words(self) -> str:
        """What a phase gives with one of its coils the wrong way round."""
        minimum, maximum = self.one_reversed
        if maximum < LIKE * max(self.emfs):
            return "next to nothing"
        return quantity(minimum, "V") + (f" to {quantity(maximum, 'V')}" if maximum > 1.01 * minimum else "")

    @property
    def phase_words(self) -> str:
        """The voltage across each phase."""
        return each_words(self.emfs, "each phase", "ABC")

    @property
    def line_words(self) -> str:
        """The voltage between terminals."""
        return each_words(self.lines, "any two terminals", ("A and B", "B and C", "C and A"))


def phase_card(emf: MachineEmf) -> PhaseCard | None:
    """The card of three phases; None when there is only one."""
    layout = emf.layout
    if layout.phases == 1:
        return None
    a, b, c = (np.asarray(wave.amplitudes * np.exp(1j * wave.angles), complex) for wave in emf.phases)
    star = layout.winding.connection == "star"
    sums = [_rms(a + b), _rms(b + c), _rms(c + a)]
    return PhaseCard(
        connection=layout.winding.connection,
        joint=joint_words(layout),
        stacking=stacking_words(layout) if layout.stacked else "",
        emfs=tuple(wave.rms for wave in emf.phases),
        lines=tuple(line.rms for line in emf.lines),
        line_share=2.0 if star else 2 / 3,
        one_reversed=_one_reversed(layout, emf.phases[0].rms),
        phase_reversed=(min(sums), max(sums)),
        open_corner=_rms(a + b + c),
        open_corner_reversed=min(_rms(a + b - c), _rms(a - b + c), _rms(b + c - a)),
    )


def coil_share(layout: Layout) -> float:
    """The EMF of one coil over that of its phase, a ratio, by the fundamental: coils of a phase may be out of step."""
    return 1 / abs(_phasors(layout).sum())


def _phasors(layout: Layout) -> Complex:
    """The fundamental EMFs of a phase's coils, both sides, each of length 1."""
    members = layout.order.members[0] * layout.sides
    turned = np.array([layout.order.axes[index] for index, _ in members]) * layout.carrier.pole_pairs
    return np.array([sense for _, sense in members]) * np.exp(-1j * turned)


def _one_reversed(layout: Layout, emf_rms: float) -> tuple[float, float]:
    phasors = _phasors(layout)
    left = np.abs(phasors.sum() - 2 * phasors) / abs(phasors.sum()) * emf_rms
    return float(left.min()), float(left.max())


def _rms(phasors: Complex) -> float:
    return float(sqrt(0.5 * np.sum(np.abs(phasors) ** 2)))
