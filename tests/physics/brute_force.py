"""EMF and flux of an exported filaments file by brute force, with nothing of this project but the file.

Magnets are magpylib's cylinders, segments and cuboids, turned with the rotor; filaments are summed chord by chord.
"""

from typing import Any

import magpylib as magpy
import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]

T, W = np.array([0.5]), np.array([1.0])  # where a chord is looked at, and for what share of it: chords are short


def magnets(document: dict[str, Any], rotor_angle: float) -> list[Any]:
    """The rotor's magnets, turned by `rotor_angle` (rad)."""
    found: list[Any] = []
    for row in document["magnets"]:
        x, y, z = (1e-3 * value for value in row["center_mm"])
        center = (x + 1j * y) * np.exp(1j * rotor_angle)
        magnet = unturned(row)
        magnet.polarization = (0, 0, row["polarity"] * row["polarization_T"])
        if row["shape"] == "arc":  # its radii are about the shaft
            center, turn = 0j, np.angle(center)
        else:
            turn = np.angle(center)
        magnet.rotate_from_angax(np.degrees(turn), "z", anchor=None)
        magnet.position = (center.real, center.imag, z)
        found.append(magnet)
    return found


def unturned(row: dict[str, Any]) -> Any:
    """A magnet of the file on the x axis, or about the shaft, without place and polarization."""
    mm = {key: 1e-3 * value for key, value in row.items() if key.endswith("_mm") and key != "center_mm"}
    thickness = mm["thickness_mm"]
    if row["shape"] == "disc":
        return magpy.magnet.Cylinder(dimension=(mm["diameter_mm"], thickness))
    if row["shape"] == "block":
        return magpy.magnet.Cuboid(dimension=(mm["length_mm"], mm["width_mm"], thickness))
    if row["shape"] == "ring":
        radii, half = (mm["bore_mm"] / 2, mm["diameter_mm"] / 2), 180.0
    else:
        radii, half = (mm["inner_radius_mm"], mm["outer_radius_mm"]), row["angle_deg"] / 2
    return magpy.magnet.CylinderSegment(dimension=(*radii, thickness, -half, half))


def axial_field(
    document: dict[str, Any], rotor_angle: float, points: NDArray[np.complex128], heights: Real
) -> Real:
    """B_z in T of all magnets together."""
    where = np.column_stack((points.real, points.imag, heights))
    return np.asarray(magpy.getB(magnets(document, rotor_angle), where, sumup=True))[:, 2]


def filaments(document: dict[str, Any], phase: int = 0) -> list[NDArray[np.float64]]:
    """A phase's filaments, (points, 3) each, m."""
    return [np.array(turn) * 1e-3 for turn in document["phases"][phase]]


def chord_points(document: dict[str, Any], phase: int = 0) -> tuple[NDArray[np.complex128], Real, Real]:
    """Points, heights and weights of ∮ r … dr over all filaments: the middle of every chord."""
    points, heights, weights = [], [], []
    for turn in filaments(document, phase):
        corner = turn[:, 0] + 1j * turn[:, 1]
        chord = np.roll(corner, -1) - corner
        z = corner[:, None] + chord[:, None] * T
        points.append(z.ravel())
        heights.append(np.repeat(turn[:, 2], T.size))
        weights.append(((z.conj() * chord[:, None]).real * W).ravel())
    return np.concatenate(points), np.concatenate(heights), np.concatenate(weights)


def fan_points(document: dict[str, Any], rings: int) -> tuple[NDArray[np.complex128], Real, Real]:
    """Points, heights and weights of the flux through all filaments, by signed triangles."""
    s, w = np.polynomial.legendre.leggauss(rings)
    s, w = (s + 1) / 2, w / 2
    points, heights, weights = [], [], []
    for turn in filaments(document):
        corner = turn[:, 0] + 1j * turn[:, 1]
        chord = np.roll(corner, -1) - corner
        middle = corner.mean()
        spoke = corner[:, None] + chord[:, None] * T - middle
        twice_area = ((corner - middle).conj() * chord).imag
        z = middle + spoke[:, :, None] * s
        points.append(z.ravel())
        heights.append(np.repeat(turn[:, 2], T.size * rings))
        weights.append((twice_area[:, None, None] * W[:, None] * (s * w)).ravel())
    return np.concatenate(points), np.concatenate(heights), np.concatenate(weights)


def emf(document: dict[str, Any], rotor_angles: Real, phase: int = 0) -> Real:
    """ω Σ ∮ r B_z dr over a phase's filaments at each rotor angle, V."""
    points, heights, weights = chord_points(document, phase)
    speed = document["speed_rpm"] * 2 * np.pi / 60
    return np.array(
        [speed * weights @ axial_field(document, angle, points, heights) for angle in rotor_angles]
    )


def flux(document: dict[str, Any], rotor_angles: Real, rings: int) -> Real:
    """Σ ∫∫ B_z dA over all filaments at each rotor angle, Wb; areas count by the filament's own direction."""
    points, heights, weights = fan_points(document, rings)
    return np.array([weights @ axial_field(document, angle, points, heights) for angle in rotor_angles])
