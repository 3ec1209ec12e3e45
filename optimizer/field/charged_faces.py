"""The axial field of magnets that are no discs, from the charge on their faces, in closed form.

A magnet polarized along the shaft is a face of charge +J above and one of −J below; each makes
B_z = ± J/4π ∫ z dA/d³ at z above it. The integral over a rectangle is the solid angle
Σ ± atan(u v/(z √(u² + v² + z²))) over its corners (Engel-Herbert, Hesjedal, J. Appl. Phys. 97 (2005)
074504, from memory).
Over a sector about the shaft the radial part is elementary, and the rest, a smearing over the sector's angle, is a
factor 2 sin(nα)/n on each Fourier coefficient. Checked in the tests against magpylib's cuboids and cylinder segments.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Real, polyline
from geometry.machine.layout import Stack
from geometry.stock.magnet import Magnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet

SAGITTA = 2e-7  # m, most that a chord of an outline leaves its arc
TOUCHING = 1e-12  # m; a place on an edge's line is taken to be this far off it
OVERSAMPLING = 2  # of angles about the shaft before they are smeared over a sector

Faces: TypeAlias = tuple[tuple[float, float], ...]
"""Heights of charged faces above the magnet's own face, m, and their charge per area, T."""


def charged_faces(stack: Stack, thickness: float) -> Faces:
    """The charged faces of equal magnets (m, charges in T); where two touch, their charges cancel."""
    charge: dict[float, float] = {}
    for middle, amount in zip(stack.middles, stack.polarizations, strict=True):
        for side in (1, -1):
            level = round(middle + side * thickness / 2, 12)
            charge[level] = charge.get(level, 0.0) + side * amount
    return tuple((level, amount) for level, amount in sorted(charge.items()) if amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class _FacesField:
    heights: Real
    faces: Faces

    @property
    def scale(self) -> float:
        """Lowest height, m: the field's finest detail."""
        return float(self.heights.min())


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockField(_FacesField):
    """B_z of one block at `heights` (Z,) in m above its face, with all its images."""

    magnet: BlockMagnet

    def half_circle(self, pitch_radius: float, radii: Real, steps: int) -> Real:
        """Field in T at `steps` + 1 angles from 0 to π on each of `radii` (R,), (R, A, Z)."""
        angle = np.linspace(0, np.pi, steps + 1)
        x, y = radii[:, None] * np.cos(angle) - pitch_radius, radii[:, None] * np.sin(angle)
        field = np.zeros((self.heights.size, *x.shape))
        for i, j in product((1, -1), repeat=2):
            u, v = x + i * self.magnet.length / 2, y + j * self.magnet.width / 2
            self._add_corner(field, i * j, u * v, u * u + v * v)
        return np.moveaxis(field, 0, -1) / (4 * np.pi)

    def _add_corner(self, field: Real, sign: int, product_uv: Real, square: Real) -> None:
        """One corner's part of every face's solid angle, added to `field` (Z, R, A)."""
        for index, height in enumerate(self.heights):
            for level, charge in self.faces:
                z = float(height) - level
                slope = np.sqrt(square + z * z)
                slope *= z
                np.divide(product_uv, slope, out=slope)
                field[index] += sign * charge * np.arctan(slope, out=slope)


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcField(_FacesField):
    """B_z of one arc at `heights` (Z,) in m above its face, with all its images."""

    magnet: ArcMagnet

    def half_circle(self, pitch_radius: float, radii: Real, steps: int) -> Real:
        """Field in T at `steps` + 1 angles from 0 to π on each of `radii` (R,), (R, A, Z); arcs stay at their radii."""
        cosine = np.cos(np.linspace(0, np.pi, OVERSAMPLING * steps + 1))
        spokes = np.stack([self._spoke(radii[:, None], cosine, float(z)) for z in self.heights])
        orders = np.arange(steps + 1)
        smeared = 2 * self.magnet.half_angle * np.sinc(orders * self.magnet.half_angle / np.pi)
        coefficients = _cosines(spokes)[..., : steps + 1] / (2 * OVERSAMPLING * steps) * smeared
        coefficients[..., -1] *= 2  # the last of a transform counts once
        return np.moveaxis(_cosines(coefficients), 0, -1) / (4 * np.pi)

    def _spoke(self, radius: Real, cosine: Real, height: float) -> Real:
        """∫ z ρ dρ/d³ along a radial line of charge, at the angle whose cosine is given from it, for all faces."""
        total = np.zeros((radius.size, cosine.size))
        for level, charge in self.faces:
            z, ahead = height - level, radius * cosine
            square = radius**2 + z**2
            aside = square - ahead**2
            for end, sign in ((self.magnet.outer_radius, 1), (self.magnet.inner_radius, -1)):
                away = np.sqrt(end**2 - 2 * ahead * end + square)
                total += charge * sign * z * (ahead * end - square) / (aside * away)
        return total


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineField(_FacesField):
    """B_z of one magnet of any face at `heights` (Z,) in m above it, with all its images, from the face's outline.

    The solid angle of a face is a sum over its edges; arcs are taken as chords.
    """

    magnet: Magnet

    def half_circle(self, pitch_radius: float, radii: Real, steps: int) -> Real:
        """Field in T at `steps` + 1 angles from 0 to π on each of `radii` (R,), (R, A, Z)."""
        places = radii[:, None] * np.exp(1j * np.linspace(0, np.pi, steps + 1))
        field = np.zeros((*places.shape, self.heights.size))
        for edge, sign in ((self.magnet.outline(pitch_radius), 1), (self.magnet.hole(pitch_radius), -1)):
            corners = polyline(edge, step=1.0, sagitta=SAGITTA) if edge else np.zeros(0, complex)
            for start, end in zip(corners, np.roll(corners, -1), strict=True):
                along = (end - start) / abs(end - start)
                off = (start - places) / along
                for place, way in ((off + abs(end - start), sign), (off, -sign)):
                    field += way * self._angles(place.real[..., None], -place.imag[..., None])
        return field / (4 * np.pi)

    def _angles(self, along: Real, aside: Real) -> Real:
        """An end's part of every face's solid angle times its charge; (R, A, 1) m along an edge and beside it."""
        aside = np.where(np.abs(aside) < TOUCHING, TOUCHING, aside)
        total = np.zeros((*along.shape[:-1], self.heights.size))
        for level, charge in self.faces:
            z = self.heights - level
            slant = np.sqrt(along**2 + aside**2 + z**2)
            total += charge * (np.arctan(along / aside) - np.arctan(z * along / (aside * slant)))
        return total


CLOSED_FORMS: Mapping[str, Callable[..., BlockField | ArcField]] = {"block": BlockField, "arc": ArcField}
"""Fields of the shapes that need no outline, which takes longer."""


def _cosines(samples: Real) -> Real:
    """Cosine transform along the last axis, both ends included; twice in a row it gives back 2 (n − 1) samples."""
    return np.fft.rfft(np.concatenate([samples, samples[..., -2:0:-1]], axis=-1)).real
