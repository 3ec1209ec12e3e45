"""Whether a layout fits: closed-form rules, the same for one layout, for the search's constraints and for its scan.

Every rule gives the room left in metres (arrays broadcast); below −`SLACK` the layout does not fit. `judge.py`
judges the same with shapely.
"""

from __future__ import annotations

import os
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope, cell_clearance
from geometry.coils.topology import Topology
from geometry.curves.curve import Real
from geometry.files.faults import line_of
from geometry.files.reading import Fault, FileFaults, read_text
from geometry.fit.fit_words import CELL, FILL, RULES
from geometry.machine.layout import Layout, Space
from geometry.machine.layout_file import layout_from_text
from geometry.stock.magnet import Magnet

SLACK = 1e-9  # m; touching is allowed, rounding is forgiven


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One limit that a layout breaks: its key, the rule in words, what it must be, was, by how much (mm or a share)."""

    key: str
    rule: str
    limit: float
    value: float
    unit: str = "mm"

    @property
    def excess(self) -> float:
        """How much must change, in `unit`, above zero."""
        return abs(self.value - self.limit)

    @property
    def message(self) -> str:
        """The rule, what it asks for, what it was and by how much, in words without the key."""
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.rule} {self.limit:.6g}{unit}, was {self.value:.6g}{unit} ({self.excess:.3g}{unit} off)"

    def __str__(self) -> str:
        return f"{self.key}: {self.message}"


def carrier_clearances(space: Space, magnet: Magnet, count: ArrayLike, pitch_radius: ArrayLike) -> dict[str, Real]:
    """Material around each pocket beyond the wall asked for, m, to its neighbour, the rim and the bore; any shape."""
    nearest, farthest = magnet.reach(pitch_radius)
    return {
        "pocket_neighbour": magnet.beside(pitch_radius, count) - space.wall,
        "pocket_rim": space.outer_radius - farthest - space.wall,
        "pocket_bore": nearest - space.bore_radius - space.wall,
    }


def winding_clearances(space: Space, topology: Topology, envelope: Envelope) -> dict[str, Real]:
    """Clearances of the winding in the annulus, and of the coil shape in itself and beside others, m; any shape."""
    return {
        "winding_bore": np.asarray(envelope.inner_radius) - space.bore_radius,
        "winding_rim": space.outer_radius - np.asarray(envelope.outer_radius),
        **topology.clearance(envelope),
    }


def violations(layout: Layout) -> tuple[Violation, ...]:
    """Every limit that the layout breaks; empty when it fits."""
    space, carrier = layout.space, layout.carrier
    clearances = carrier_clearances(space, carrier.magnet, carrier.count, carrier.pitch_radius)
    clearances |= winding_clearances(space, layout.topology, layout.envelope)
    limits = {
        "pocket_neighbour": space.wall,
        "pocket_rim": space.wall,
        "pocket_bore": space.wall,
        "winding_bore": space.bore_radius,
        "winding_rim": space.outer_radius,
    }
    found = [
        _violation(name, float(clearance), limits.get(name, 0.0))
        for name, clearance in clearances.items()
        if clearance < -SLACK
    ]
    return (*found, *_section_violations(layout))


def _violation(name: str, clearance: float, limit: float) -> Violation:
    rule = RULES[name]
    value = limit + clearance if rule.minimum else limit - clearance
    return Violation(key=rule.key, rule=rule.text, limit=limit * 1e3, value=value * 1e3)


def _section_violations(layout: Layout) -> list[Violation]:
    winding = layout.winding
    found: list[Violation] = []
    fill = winding.turns * winding.wire.overall_area / (winding.width * winding.height)
    if fill > winding.fill_factor * (1 + 1e-6):
        found.append(Violation(key="winding.turns", rule=FILL, limit=winding.fill_factor, value=fill, unit=""))
    clearance = cell_clearance(winding.turns, winding.width, winding.height, winding.wire, layout.pieces)
    if clearance < -SLACK:
        need = winding.wire.overall_diameter
        found.append(Violation(key="winding.turns", rule=CELL, limit=need * 1e3, value=(need + clearance) * 1e3))
    return found


def read_fitting_layout(path: str | os.PathLike[str]) -> Layout:
    """The layout of a file, read once. Raises FileFaults with every fault in it, or every limit that it breaks."""
    return fitting_layout_from_text(read_text(path), os.fspath(path))


def fitting_layout_from_text(text: str, name: str) -> Layout:
    """The layout that `text` holds, which fits. Raises FileFaults, for each limit that it breaks with its line."""
    layout = layout_from_text(text, name)
    if found := violations(layout):
        raise FileFaults(tuple(Fault(name, line_of(text, m.key), m.key, m.message) for m in found))
    return layout
