"""What the card of a three-phase winding adds: line voltage, readings between terminals, checks of the joint."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi, sqrt

import numpy as np

from geometry.coil_drawing import joint_words, stacking_words
from geometry.curve import Complex, Real
from geometry.filaments import coil_senses, phase_coils
from geometry.layout import Layout
from optimizer.emf import Waveform, line_waveform


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCard:
    """Three phases joined in star or delta. EMFs open circuit, V rms at the layout's speed.

    joint: how they are joined; stacking: how the bundles lie over each other, empty for coils side by side.
    line_emf: between two terminals. line_share: resistance between two terminals over that of a phase.
    one_reversed: least and most that a phase gives with one of its coils the wrong way round. phase_reversed: the
    voltage of the two pairs of terminals that show a phase the wrong way round, in star. open_corner: across the last
    joint of a delta before it is closed; open_corner_reversed: the same with one phase the wrong way round.
    """

    connection: str
    joint: str
    stacking: str
    line_emf: float
    line_share: float
    one_reversed: tuple[float, float]
    phase_reversed: float
    open_corner: float
    open_corner_reversed: float

    @property
    def star(self) -> bool:
        """Whether the phases are joined in star."""
        return self.connection == "star"


def phase_card(layout: Layout, emf: Waveform) -> PhaseCard | None:
    """The card of three phases; None when there is only one. emf: of the first phase."""
    if layout.phases == 1:
        return None
    star = layout.winding.connection == "star"
    triplen = _rms(emf.amplitudes[emf.orders % 3 == 0])
    others = _rms(emf.amplitudes[emf.orders % 3 != 0])
    return PhaseCard(
        connection=layout.winding.connection,
        joint=joint_words(layout),
        stacking="" if layout.topology.per_sector else stacking_words(layout),
        line_emf=line_waveform(layout).rms,
        line_share=2.0 if star else 2 / 3,
        one_reversed=_one_reversed(layout, emf.rms),
        # a sum of two phases 120° apart in place of their difference
        phase_reversed=sqrt(others**2 + 4 * triplen**2),
        open_corner=3 * triplen,
        open_corner_reversed=sqrt(4 * others**2 + triplen**2),
    )


def coil_share(layout: Layout) -> float:
    """The EMF of one coil over that of its phase, by the fundamental: coils of a phase may be out of step."""
    return 1 / abs(_phasors(layout).sum())


def longest_step(layout: Layout) -> float:
    """Greatest angle about the shaft from a coil to the next one of its phase, rad; 0 when there is only one."""
    axes = coil_senses(layout)
    angles = [axes[index][0] for index, _ in phase_coils(layout)[0]]
    return max((float((b - a) % (2 * pi)) for a, b in pairwise(angles)), default=0.0)


def _phasors(layout: Layout) -> Complex:
    """The fundamental EMFs of a phase's coils, both sides, each of length 1."""
    axes = coil_senses(layout)
    members = phase_coils(layout)[0] * layout.sides
    turned = np.array([axes[index][0] for index, _ in members]) * layout.carrier.pole_pairs
    return np.array([sense for _, sense in members]) * np.exp(-1j * turned)


def _one_reversed(layout: Layout, emf_rms: float) -> tuple[float, float]:
    phasors = _phasors(layout)
    left = np.abs(phasors.sum() - 2 * phasors) / abs(phasors.sum()) * emf_rms
    return float(left.min()), float(left.max())


def _rms(amplitudes: Real) -> float:
    return float(sqrt(0.5 * np.sum(amplitudes**2)))
