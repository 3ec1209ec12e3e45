"""Block and arc magnets, and the table of all shapes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, pi, radians, sin, sqrt

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Arc, Curve, Line, Real
from geometry.files.key_tables import quantity
from geometry.stock.demagnetizing import block_demagnetizing_factor
from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet, face_size, mm_text


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockMagnet(Magnet):
    """A rectangular block. length: along the radius, width: across it, m, above zero."""

    length: float = face_size("length_mm", "of a block, along the radius", "Length, radial", comment="along the radius")
    width: float = face_size("width_mm", "of a block, across the radius", "Width, across", comment="across the radius")

    shape = "block"

    @property
    def area(self) -> float:
        return self.length * self.width

    @property
    def across(self) -> float:
        return min(self.length, self.width)

    @property
    def size_label(self) -> str:
        return f"{mm_text(self.length)} × {mm_text(self.width)} × {mm_text(self.thickness)} mm"

    def factor(self, thickness: float) -> float:
        return block_demagnetizing_factor(self.length, self.width, thickness)

    def outline(self, pitch_radius: float) -> Curve:
        x, y = self.length / 2, self.width / 2
        corners = [pitch_radius + complex(*at) for at in ((x, -y), (x, y), (-x, y), (-x, -y))]
        return tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))

    def reach(self, pitch_radius: ArrayLike) -> tuple[Real, Real]:
        pitch_radius = np.asarray(pitch_radius, float)
        return pitch_radius - self.length / 2, np.hypot(pitch_radius + self.length / 2, self.width / 2)

    def beside(self, pitch_radius: ArrayLike, count: ArrayLike) -> Real:
        half_step, inner = pi / np.asarray(count), np.asarray(pitch_radius, float) - self.length / 2
        return 2 * inner * np.sin(half_step) - self.width * np.cos(half_step)

    def pitch_limits(self, minimum: float, maximum: float) -> tuple[float, float]:
        return minimum + self.length / 2, sqrt(max(maximum**2 - self.width**2 / 4, 0.0)) - self.length / 2

    def closest_pitch_radius(self, count: int, wall: float) -> float:
        half_step = pi / count
        return self.length / 2 + (wall + self.width * cos(half_step)) / (2 * sin(half_step))

    def kinks(self, pitch_radius: float) -> list[float]:
        near, far, half = pitch_radius - self.length / 2, pitch_radius + self.length / 2, self.width / 2
        return sorted((near, far, float(np.hypot(near, half)), float(np.hypot(far, half))))

    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        near, far = (
            np.arccos(np.clip((pitch_radius + side * self.length / 2) / radius, -1.0, 1.0)) for side in (-1, 1)
        )
        aside = np.arcsin(np.clip(self.width / 2 / radius, -1.0, 1.0))
        return far, np.maximum(np.minimum(near, aside), far)

    def gyration_square(self, pitch_radius: float) -> float:
        return pitch_radius**2 + (self.length**2 + self.width**2) / 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcMagnet(Magnet):
    """A sector of a ring about the shaft. inner_radius, outer_radius: m. angle_deg: from edge to edge, below 180."""

    inner_radius: float = face_size("inner_radius_mm", "of an arc, about the shaft", comment="about the shaft")
    outer_radius: float = face_size("outer_radius_mm", "of an arc, about the shaft", comment="about the shaft")
    angle_deg: float = face_size(
        "angle_deg", "of an arc, from edge to edge, seen from the shaft",
        check=quantity(minimum="0.1", maximum="179", hint="is it in degrees?"),
        comment="from edge to edge, seen from the shaft",
    )  # fmt: skip

    shape = "arc"
    NESTED = ("inner_radius", "outer_radius")

    def _check(self) -> None:
        if not self.inner_radius < self.outer_radius:
            must = f"magnet outer_radius must be above inner_radius ({self.inner_radius:g})"
            raise ValueError(f"{must}, was {self.outer_radius:g}")
        if not self.angle_deg < 180:
            raise ValueError(f"magnet angle_deg must be below 180, was {self.angle_deg:g}")

    @property
    def half_angle(self) -> float:
        """rad."""
        return radians(self.angle_deg) / 2

    @property
    def mid_radius(self) -> float:
        """Midway between the radii, m: the only pitch radius it has."""
        return round((self.inner_radius + self.outer_radius) / 2, 12)

    @property
    def area(self) -> float:
        return self.half_angle * (self.outer_radius**2 - self.inner_radius**2)

    @property
    def across(self) -> float:
        return min(self.outer_radius - self.inner_radius, 2 * self.mid_radius * sin(self.half_angle))

    @property
    def size_label(self) -> str:
        radii = f"R {mm_text(self.outer_radius)} / R {mm_text(self.inner_radius)} × {self.angle_deg:.6g}°"
        return f"{radii} × {mm_text(self.thickness)} mm"

    def factor(self, thickness: float) -> float:
        """The factor of a block of the same length and mean width: an approximation, within 0.01 in the tests."""
        length, width = self.outer_radius - self.inner_radius, 2 * self.half_angle * self.mid_radius
        return block_demagnetizing_factor(length, width, thickness)

    def outline(self, pitch_radius: float) -> Curve:
        half, inner, outer = self.half_angle, self.inner_radius, self.outer_radius
        edge = np.exp(1j * half)
        return (
            Arc(0j, outer, -half, 2 * half),
            Line(outer * edge, inner * edge),
            Arc(0j, inner, half, -2 * half),
            Line(inner / edge, outer / edge),
        )

    def reach(self, pitch_radius: ArrayLike) -> tuple[Real, Real]:
        like = np.zeros(np.shape(pitch_radius))
        return like + self.inner_radius, like + self.outer_radius

    def beside(self, pitch_radius: ArrayLike, count: ArrayLike) -> Real:
        like = np.zeros(np.shape(pitch_radius))
        return like + 2 * self.inner_radius * np.sin(pi / np.asarray(count) - self.half_angle)

    def pitch_limits(self, minimum: float, maximum: float) -> tuple[float, float]:
        own = self.mid_radius
        return own + max(minimum - self.inner_radius, 0.0), own - max(self.outer_radius - maximum, 0.0)

    def closest_pitch_radius(self, count: int, wall: float) -> float:
        return self.mid_radius

    def kinks(self, pitch_radius: float) -> list[float]:
        return [self.inner_radius, self.outer_radius]

    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        return np.zeros(radius.shape), np.full(radius.shape, self.half_angle)

    def gyration_square(self, pitch_radius: float) -> float:
        return (self.inner_radius**2 + self.outer_radius**2) / 2

    def placed(self, pitch_radius: float) -> float:
        return self.mid_radius


SHAPES: Mapping[str, type[Magnet]] = {
    kind.shape: kind for kind in (DiscMagnet, RingMagnet, BlockMagnet, ArcMagnet)
}
