"""How hard a magnet pulls at thick steel, and the remanence that a measured pull speaks of.

Steel of high permeability is a mirror: the magnet pulls at its own image. Both are four faces of charge ±J; two equal
faces with density J, a distance d apart, push with J²/(4π μ0) ∫∫ d/(s² + d²)^(3/2) dA dA'. As that kernel is the
Laplacian of ln(d + √(s² + d²)) in the plane, the integral is −∮∮ ln(d + √(s² + d²)) dl·dl' around both faces, which
takes any outline. Exact for magnetization that stays even; the recoil permeability enters by the effective
polarization of the magnet together with its image.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import ceil, pi, sqrt

import numpy as np

from geometry.curves.curve import Complex, polyline
from geometry.stock.magnet import Magnet

MU0 = 4e-7 * pi  # H/m
CONTACT = 50e-6  # m between magnet and steel that touch: the plating of the one, the roughness of the other
MOST_CHORDS = 4000


@lru_cache(maxsize=64)
def pull_on_steel(magnet: Magnet, gap: float = CONTACT) -> float:
    """The pull in N of a magnet at thick flat steel, `gap` m away and above 0, at 20 °C."""
    cold = replace(magnet, temperature=20.0)
    polarization, length = cold.effective_polarization(backed=1.0), magnet.thickness
    faces = _between(magnet, 2 * gap) - 2 * _between(magnet, 2 * gap + length) + _between(magnet, 2 * (gap + length))
    return polarization**2 / (4 * pi * MU0) * faces


def remanence_of_pull(magnet: Magnet, pull: float) -> float:
    """The remanence in T that a pull of so many N at thick steel speaks of, to a tenth of a millitesla.

    magnet: of any remanence; that it has is not heeded.
    """
    unit = replace(magnet, remanence=1.0, grade=None, pull=None)
    return round(sqrt(pull / pull_on_steel(unit)), 4)


def _between(magnet: Magnet, distance: float) -> float:
    """∫∫ d/(s² + d²)^(3/2) dA dA' between two equal faces `distance` m apart, m²."""
    places, steps = _edge(magnet, distance / 2)
    total = 0.0
    for rows in np.array_split(np.arange(places.size), ceil(places.size / 500)):
        square = np.abs(places[rows, None] - places) ** 2
        kernel = np.log(distance + np.sqrt(square + distance**2))
        total -= float((kernel * (steps[rows, None] * steps.conj()).real).sum())
    return total


def _edge(magnet: Magnet, step: float) -> tuple[Complex, Complex]:
    """Middles of the chords of a face's edge and hole, and the chords, m, (C,) complex; the hole runs clockwise."""
    pitch_radius = magnet.placed(magnet.across)
    places: list[Complex] = []
    chords: list[Complex] = []
    for curve, sense in ((magnet.outline(pitch_radius), 1), (magnet.hole(pitch_radius), -1)):
        if not curve:
            continue
        corners = polyline(curve, step=1.0, sagitta=1e-7)
        around = float(np.abs(np.roll(corners, -1) - corners).sum())
        corners = polyline(curve, step=max(step, around / MOST_CHORDS), sagitta=1e-7)
        chord = np.roll(corners, -1) - corners
        places.append(corners + chord / 2)
        chords.append(sense * chord)
    return np.concatenate(places), np.concatenate(chords)
