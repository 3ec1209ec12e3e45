"""The magnets' axial field and its pole harmonics around the shaft.

A disc's or ring's field depends only on the distance from its own axis and the height, so its closed form is asked once
per magnet: a profile over distance at a few heights, interpolated by a spline. Other shapes: `charged_faces.py`.
N magnets of alternating polarity on one pitch circle, each symmetric about its radial line, then have, at radius r,
only the odd orders k of their p = N/2 pole pairs, and each is N times the same Fourier coefficient of a single
magnet: B_z(r, φ) = Σ b_k(r) cos(k p φ).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import asinh, ceil
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.machine.layout import Stack, magnet_stack
from geometry.stock.magnet import Magnet
from optimizer.field.charged_faces import CLOSED_FORMS, OutlineField, charged_faces
from optimizer.field.disc_field import disc_field
from optimizer.numerics.even_spline import EvenSpline

RESOLUTION = (
    0.09  # step of the profile in the stretched distance; error of the field about 1e-5 of its peak at most
)
STRIP = 9.0  # samples per turn, in units of radius over height: leaves an error of about 1e-6 of the field


SolidDisc: TypeAlias = Callable[[float, Real, Real], Real]
"""B_z over the polarization as `disc_field` has it: of half thickness, distances and heights, all over the radius."""


class MagnetField(Protocol):
    """B_z of one magnet with its images, known at a few heights."""

    @property
    def heights(self) -> Real:
        """(Z,), m above the magnet's face."""
        ...

    @property
    def scale(self) -> float:
        """Lowest height, m: the field's finest detail."""
        ...

    def half_circle(self, pitch_radius: float, radii: Real, steps: int) -> Real:
        """B_z in T at `steps` + 1 angles from 0 to π on each of `radii` (R,), the magnet at angle 0, (R, A, Z)."""
        ...


def axial_field(
    magnet: Magnet,
    distance: ArrayLike,
    height: ArrayLike,
    stack: Stack | None = None,
) -> Real:
    """B_z in T of one disc or ring, its coil-side face in z = 0 and north up, straight from magpylib.

    distance from its axis and height above its face in m; they broadcast. stack: where the magnet and its images stand
    and how strong they are; None for the magnet alone.
    """
    from optimizer.field.magpylib_field import magpylib_field

    stack = stack or _alone(magnet)
    total = np.zeros(np.broadcast_shapes(np.shape(distance), np.shape(height)))
    for edge, sign in magnet.discs:
        total += sign * _disc_field(edge, magnet.thickness, distance, height, stack, magpylib_field)
    return total


def _alone(magnet: Magnet) -> Stack:
    return magnet_stack(magnet, "single", images=0.0, clear=0.0, reach=0.0)


def _disc_field(
    radius: float, thickness: float, distance: ArrayLike, height: ArrayLike, stack: Stack, solid: SolidDisc
) -> Real:
    """B_z of a solid disc and its images."""
    distance, height = np.broadcast_arrays(np.asarray(distance, float), np.asarray(height, float))
    axial = (height.ravel() - np.array(stack.middles)[:, None]) / radius
    unit = solid(thickness / 2 / radius, distance.ravel() / radius, axial)
    return (np.array(stack.polarizations) @ unit).reshape(distance.shape)


@dataclass(frozen=True, slots=True)
class Profile:
    """B_z of one disc or ring over the distance from its axis, at `heights` (Z,) in m above its face.

    parts: for each edge its radius in m and the field of the solid disc within it, T, over a stretched distance.
    """

    heights: Real
    parts: tuple[tuple[float, EvenSpline], ...]

    @property
    def scale(self) -> float:
        """Lowest height, m: the field's finest detail."""
        return float(self.heights.min())

    def __call__(self, distance: Real) -> Real:
        """Field in T, shape of `distance` + (Z,)."""
        parts = [spline(np.arcsinh((distance - edge) / self.scale)) for edge, spline in self.parts]
        return np.moveaxis(sum(parts, np.zeros(())), 0, -1)

    def half_circle(self, pitch_radius: float, radii: Real, steps: int) -> Real:
        """See `MagnetField`."""
        cosine, ring = np.cos(np.linspace(0, np.pi, steps + 1)), radii[:, None]
        return self(np.sqrt(np.maximum(pitch_radius**2 + ring**2 - 2 * pitch_radius * ring * cosine, 0)))


def magnet_field(magnet: Magnet, heights: Real, reach: float, stack: Stack | None = None) -> MagnetField:
    """The field of one magnet of any shape at `heights` (Z,), m, out to `reach` (m) from its middle.

    stack: see `axial_field`.
    """
    if magnet.discs:
        return disc_profile(magnet, heights, reach, stack)
    faces = charged_faces(stack or _alone(magnet), magnet.thickness)
    return CLOSED_FORMS.get(magnet.shape, OutlineField)(magnet=magnet, heights=heights, faces=faces)


def disc_profile(
    magnet: Magnet,
    heights: Real,
    reach: float,
    stack: Stack | None = None,
    solid: SolidDisc = disc_field,
) -> Profile:
    """The profile, at `heights` (Z,), m, of a disc or ring out to `reach`, m, fine near its edges and coarse far away.

    stack: see `axial_field`. solid: what computes the field of a solid disc.
    """
    scale, parts = float(heights.min()), list[tuple[float, EvenSpline]]()
    stack = stack or _alone(magnet)
    for edge, sign in magnet.discs:
        low, high = asinh(-edge / scale), asinh((reach - edge) / scale)
        stretched: Real = np.linspace(low, high, ceil((high - low) / RESOLUTION) + 1)
        distance = np.maximum(edge + scale * np.sinh(stretched), 0.0)
        values = _disc_field(edge, magnet.thickness, distance, heights[:, None], stack, solid)
        parts.append((edge, EvenSpline.through(low, stretched[1] - low, sign * values)))
    return Profile(heights, tuple(parts))


def pole_harmonics(profile: MagnetField, count: int, pitch_radius: float, radii: Real, orders: Real) -> Real:
    """Amplitudes b_k in T, (K, Z, R), of the ring of `count` magnets.

    pitch_radius: m; radii: (R,) m; orders: (K,) odd multiples k.
    """
    highest = int(orders.max()) * count // 2
    steps = int(np.ceil((STRIP * float(radii.max()) / profile.scale + highest) / 2))
    samples = np.moveaxis(profile.half_circle(pitch_radius, radii, steps), -1, 1)
    weight = np.full(steps + 1, 2 * count / steps)
    weight[[0, -1]] /= 2
    angle = np.linspace(0, np.pi, steps + 1)
    projector = weight[:, None] * np.cos(np.outer(angle, orders * (count // 2)))
    flat = samples.reshape(-1, steps + 1) @ projector  # one product: many small ones wake BLAS's threads each time
    return flat.reshape(*samples.shape[:-1], -1).T


def odd_orders(count: int, radius: float, height: float, depth: float = 8.0) -> Real:
    """Odd orders k, (K,), whose field at `height` and `radius` (m) has not yet died away by e^−`depth`, at least 4."""
    highest = max(int(depth * radius / height / (count / 2)), 7)
    return np.arange(1, highest + 1, 2, dtype=float)
