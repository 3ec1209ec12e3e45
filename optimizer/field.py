"""The magnets' axial field, from magpylib, and its pole harmonics around the shaft. The only door to magpylib.

A disc's field depends only on the distance from its own axis and the height, so magpylib is asked once per
magnet: a profile over distance at a few heights, interpolated by a spline. A ring of N discs of alternating
polarity on one pitch circle then has, at radius r, only the odd orders k of its p = N/2 pole pairs, and each is N
times the same Fourier coefficient of a single disc: B_z(r, φ) = Σ b_k(r) cos(k p φ).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from magpylib.core import magnet_cylinder_axial_Bfield
from numpy.typing import ArrayLike
from scipy.interpolate import CubicSpline

from geometry.arrangement import Stack
from geometry.curve import Real
from geometry.magnet import DiscMagnet

RESOLUTION = (
    0.09  # step of the profile in the stretched distance; error of the field about 1e-5 of its peak at most
)
STRIP = 9.0  # samples per turn, in units of radius over height: leaves an error of about 1e-6 of the field


def axial_field(
    magnet: DiscMagnet,
    distance: ArrayLike,
    height: ArrayLike,
    stack: Stack | None = None,
    polarization: float | None = None,
) -> Real:
    """B_z in T of one disc, its coil-side face in z = 0 and north up, straight from magpylib.

    distance from its axis and height above its face in m; they broadcast. stack: where the disc and its images stand;
    None for the disc alone. polarization: effective, T; None for that of the disc alone.
    """
    middles = stack.middles if stack else (-magnet.thickness / 2,)
    distance, height = np.broadcast_arrays(np.asarray(distance, float), np.asarray(height, float))
    radius, half = magnet.diameter / 2, magnet.thickness / 2
    axial = (height.ravel() - np.array(middles)[:, None]) / radius
    off_axis = np.broadcast_to(distance.ravel() / radius, axial.shape).ravel()
    unit = magnet_cylinder_axial_Bfield(z0=np.full(axial.size, half / radius), r=off_axis, z=axial.ravel())[2]
    total = np.asarray(unit).reshape(axial.shape).sum(axis=0).reshape(distance.shape)
    return total * (magnet.polarization if polarization is None else polarization)


@dataclass(frozen=True, slots=True)
class Profile:
    """B_z of one disc over the distance from its axis, at `heights` (Z,) in m above its face."""

    magnet: DiscMagnet
    heights: Real
    spline: CubicSpline

    @property
    def scale(self) -> float:
        """Lowest height, m: the field's finest detail."""
        return float(self.heights.min())

    def __call__(self, distance: Real) -> Real:
        """Field in T, shape of `distance` + (Z,)."""
        return self.spline(np.arcsinh((distance - self.magnet.diameter / 2) / self.scale))


def disc_profile(
    magnet: DiscMagnet,
    heights: Real,
    reach: float,
    stack: Stack | None = None,
    polarization: float | None = None,
) -> Profile:
    """The profile of a disc out to `reach` (m), fine near the disc's edge and coarse far away.

    stack, polarization: see `axial_field`.
    """
    edge, scale = magnet.diameter / 2, float(heights.min())
    low, high = np.arcsinh(-edge / scale), np.arcsinh((reach - edge) / scale)
    stretched = np.linspace(low, high, int(np.ceil((high - low) / RESOLUTION)) + 1)
    distance = np.maximum(edge + scale * np.sinh(stretched), 0.0)
    values = axial_field(magnet, distance[:, None], heights[None, :], stack, polarization)
    return Profile(magnet, heights, CubicSpline(stretched, values))


def angles_needed(scale: float, radius: float, highest: int) -> int:
    """Equal steps over half a turn for orders up to `highest` at `radius` (m), `scale` (m) above the magnets."""
    return int(np.ceil((STRIP * radius / scale + highest) / 2))


def pole_harmonics(profile: Profile, count: int, pitch_radius: ArrayLike, radii: Real, orders: Real) -> Real:
    """Amplitudes b_k in T of the ring of `count` discs.

    pitch_radius: (P,) m; radii: (R,) m; orders: (K,) odd multiples k. Returns shape (P, K, Z, R).
    """
    steps = angles_needed(profile.scale, float(radii.max()), int(orders.max()) * count // 2)
    samples = disc_samples(profile, pitch_radius, radii, steps)
    return ring_harmonics(samples, count, orders)


def disc_samples(
    profile: Profile, pitch_radius: ArrayLike, radii: Real, steps: int, weights: Real | None = None
) -> Real:
    """B_z of one disc on a half circle of each radius, shape (P, R, Z, A): `steps` + 1 angles, 0 and π included.

    weights: (H, Z) to average over the heights; the result then is (P, R, H, A).
    """
    cosine = np.cos(np.linspace(0, np.pi, steps + 1))
    ring, found = radii[:, None], []
    for pitch in np.atleast_1d(np.asarray(pitch_radius, float)):
        distance = np.sqrt(np.maximum(pitch**2 + ring**2 - 2 * pitch * ring * cosine, 0))
        values = profile(distance)
        found.append(np.moveaxis(values if weights is None else values @ weights.T, -1, 1))
    return np.stack(found)


def ring_harmonics(samples: Real, count: int, orders: Real) -> Real:
    """Pole harmonics (P, K, Z, R) of a ring of `count` discs from `disc_samples`."""
    steps = samples.shape[-1] - 1
    angle = np.linspace(0, np.pi, steps + 1)
    weight = np.full(steps + 1, 2 * count / steps)
    weight[[0, -1]] /= 2
    projector = weight[:, None] * np.cos(np.outer(angle, orders * (count // 2)))
    return np.moveaxis(samples @ projector, (1, 2, 3), (3, 2, 1))


def odd_orders(count: int, radius: float, height: float, depth: float = 8.0) -> Real:
    """Odd orders k whose field at `height` and `radius` (m) has not yet died away by e^−`depth`, at least 4."""
    highest = max(int(depth * radius / height / (count / 2)), 7)
    return np.arange(1, highest + 1, 2, dtype=float)
