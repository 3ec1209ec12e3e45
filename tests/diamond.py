"""A magnet shape made up for the tests: a square on its corner. Importing it enters its row, as a new file would."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin, sqrt
from typing import cast

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Curve, Line, Real
from geometry.stock.demagnetizing import block_demagnetizing_factor
from geometry.stock.magnet import Magnet, face_size, mm_text
from geometry.stock.magnet_shapes import SHAPES


@dataclass(frozen=True, slots=True, kw_only=True)
class DiamondMagnet(Magnet):
    """A square, one corner toward the shaft. diagonal: from corner to corner, m."""

    diagonal: float = face_size("diagonal_mm", "of a diamond, from corner to corner")

    shape = "diamond"

    @property
    def area(self) -> float:
        return self.diagonal**2 / 2

    @property
    def across(self) -> float:
        return self.diagonal / sqrt(2)

    @property
    def size_label(self) -> str:
        return f"{mm_text(self.diagonal)} from corner to corner × {mm_text(self.thickness)} mm"

    def factor(self, thickness: float) -> float:
        return block_demagnetizing_factor(self.across, self.across, thickness)

    def outline(self, pitch_radius: float) -> Curve:
        corners = [pitch_radius + self.diagonal / 2 * 1j**quarter for quarter in range(4)]
        return tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))

    def reach(self, pitch_radius: ArrayLike) -> tuple[Real, Real]:
        middle = np.asarray(pitch_radius, float)
        return middle - self.diagonal / 2, middle + self.diagonal / 2

    def beside(self, pitch_radius: ArrayLike, count: ArrayLike) -> Real:
        middle, half_step = np.asarray(pitch_radius, float), pi / np.asarray(count)
        inner = (middle - self.diagonal / 2) * np.sin(half_step)
        return 2 * np.minimum(inner, middle * np.sin(half_step) - self.diagonal / 2 * np.cos(half_step))

    def pitch_limits(self, minimum: float, maximum: float) -> tuple[float, float]:
        return minimum + self.diagonal / 2, maximum - self.diagonal / 2

    def closest_pitch_radius(self, count: int, wall: float) -> float:
        half_step = pi / count
        inner = wall / 2 / sin(half_step) + self.diagonal / 2
        return max(inner, (wall / 2 + self.diagonal / 2 * cos(half_step)) / sin(half_step))

    def kinks(self, pitch_radius: float) -> list[float]:
        half = self.diagonal / 2
        return [pitch_radius - half, hypot(pitch_radius, half), pitch_radius + half]

    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        near, far = ((pitch_radius + side * self.diagonal / 2) / (sqrt(2) * radius) for side in (-1, 1))
        half = np.minimum(pi / 4 - np.arcsin(np.clip(near, -1, 1)), pi / 4 - np.arccos(np.clip(far, -1, 1)))
        return np.zeros(radius.shape), np.maximum(half, 0.0)

    def gyration_square(self, pitch_radius: float) -> float:
        return pitch_radius**2 + self.diagonal**2 / 12


cast("dict[str, type[Magnet]]", SHAPES)[DiamondMagnet.shape] = DiamondMagnet
