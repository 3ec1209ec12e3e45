"""What the search maximises, and how turns and wire enter it.

EMF is linear in turns and the field does not know the wire, so for a geometry whose single turn (of every coil
together) has RMS EMF e and length ℓ, each goal is e^a · n^b · (s/ℓ)^c with n turns and copper section s.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.stock.wire import CONDUCTIVITY, Wire
from optimizer.evaluation.figures import Figures
from optimizer.evaluation.figures_document import significant


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal. value² or value is e² times `merit`; `root` tells which."""

    name: str
    label: str
    unit: str
    root: bool

    def merit(self, turns: ArrayLike, length: ArrayLike, wire: Wire, phases: int = 1) -> Real:
        """What e² (V², any shape) is multiplied by: turns², or phases times turns over four times the Ω of one turn.

        length: of one turn of every coil of a phase, m.
        """
        turns = np.asarray(turns, float)
        if self.root:
            return turns**2
        return phases * turns * (CONDUCTIVITY * wire.copper_area / 4) / np.asarray(length)

    def value(self, figures: Figures) -> float:
        """The goal's value in `unit` as it is printed: the last bits of a sum decide between no two machines."""
        return significant(figures.emf_rms_V if self.root else figures.matched_power_W)

    def from_square(self, merit_times_square: ArrayLike) -> Real:
        """The goal's value in `unit` from e² · merit, of the same shape."""
        return np.sqrt(merit_times_square) if self.root else np.asarray(merit_times_square, float)


GOALS = {
    "emf_rms": Goal(name="emf_rms", label="EMF", unit="V rms", root=True),
    "power": Goal(name="power", label="Power into a matched load", unit="W", root=False),
}
