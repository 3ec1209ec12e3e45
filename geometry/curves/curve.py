"""Plane curves made of straight lines and circular arcs, exact, with the shaft at the origin.

Points are complex numbers x + iy in metres. Every field may be an array: a curve then stands for a family of
curves (the turns of a bundle, say), and all results broadcast.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import pi
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Complex: TypeAlias = NDArray[np.complex128]
Real: TypeAlias = NDArray[np.float64]
Whole: TypeAlias = NDArray[np.intp]
Truth: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Line:
    """Straight stretch from `start` to `end` (complex, m; they broadcast)."""

    start: ArrayLike
    end: ArrayLike

    def at(self, t: ArrayLike) -> Complex:
        """Points in m at the parameters `t`, 0 at the start and 1 at the end; any shape that broadcasts."""
        start, end = np.asarray(self.start, complex), np.asarray(self.end, complex)
        return start + (end - start) * np.asarray(t)

    def tangent(self, t: ArrayLike) -> Complex:
        """Derivative of `at` with respect to t, m; any shape that broadcasts."""
        return np.asarray(self.end, complex) - np.asarray(self.start, complex) + 0 * np.asarray(t)

    def walk(self, t: Real) -> tuple[Complex, Complex]:
        """Points and tangents, m, at parameters `t` (T,) of fields of any shape, along a new last axis."""
        start, end = np.asarray(self.start, complex)[..., None], np.asarray(self.end, complex)[..., None]
        tangent = end - start
        return np.asarray(start + tangent * t, complex), tangent

    @property
    def length(self) -> Real:
        """In m, of the shape of the ends."""
        return np.abs(np.asarray(self.end) - np.asarray(self.start))

    def reversed(self) -> Line:
        """The same stretch walked the other way."""
        return Line(self.end, self.start)

    def mirrored(self) -> Line:
        """Reflected in the x axis."""
        return Line(np.conj(self.start), np.conj(self.end))

    def rotated(self, angle: float) -> Line:
        """Turned about the shaft by `angle` (rad)."""
        turn = np.exp(1j * angle)
        return Line(np.asarray(self.start) * turn, np.asarray(self.end) * turn)


@dataclass(frozen=True, slots=True)
class Arc:
    """Circular stretch about `center` (complex, m), from angle `start` over `sweep` (rad, + is CCW); they broadcast."""

    center: ArrayLike
    radius: ArrayLike
    start: ArrayLike
    sweep: ArrayLike

    def at(self, t: ArrayLike) -> Complex:
        """Points in m at the parameters `t`, 0 at the start and 1 at the end; any shape that broadcasts."""
        angle = np.asarray(self.start) + np.asarray(self.sweep) * np.asarray(t)
        return np.asarray(self.center, complex) + np.asarray(self.radius) * np.exp(1j * angle)

    def tangent(self, t: ArrayLike) -> Complex:
        """Derivative of `at` with respect to t, m; any shape that broadcasts."""
        angle = np.asarray(self.start) + np.asarray(self.sweep) * np.asarray(t)
        return 1j * np.asarray(self.sweep) * np.asarray(self.radius) * np.exp(1j * angle)

    def walk(self, t: Real) -> tuple[Complex, Complex]:
        """Points and tangents, m, at parameters `t` (T,) of fields of any shape, along a new last axis."""
        center, radius, start, sweep = (
            np.asarray(each)[..., None] for each in (self.center, self.radius, self.start, self.sweep)
        )
        away = radius * np.exp(1j * (start + sweep * t))
        return center + away, 1j * sweep * away

    @property
    def length(self) -> Real:
        """In m, of the shape of the ends."""
        return np.abs(np.asarray(self.radius) * np.asarray(self.sweep))

    @property
    def about_shaft(self) -> bool:
        """True when the shaft is the centre: such a stretch keeps its radius and cuts no field lines."""
        return bool(np.all(np.asarray(self.center) == 0))

    def reversed(self) -> Arc:
        """The same stretch walked the other way."""
        return Arc(self.center, self.radius, np.asarray(self.start) + self.sweep, -np.asarray(self.sweep))

    def mirrored(self) -> Arc:
        """Reflected in the x axis."""
        return Arc(np.conj(self.center), self.radius, -np.asarray(self.start), -np.asarray(self.sweep))

    def rotated(self, angle: float) -> Arc:
        """Turned about the shaft by `angle` (rad)."""
        return Arc(
            np.asarray(self.center) * np.exp(1j * angle),
            self.radius,
            np.asarray(self.start) + angle,
            self.sweep,
        )


Stretch: TypeAlias = Line | Arc
Curve: TypeAlias = tuple[Stretch, ...]


def circle(center: complex, radius: float) -> Curve:
    """A full circle, counter-clockwise from its rightmost point; centre and radius in m."""
    return (Arc(center, radius, 0.0, 2 * pi),)


def reversed_curve(curve: Iterable[Stretch]) -> Curve:
    """The same curve walked the other way."""
    return tuple(stretch.reversed() for stretch in reversed(tuple(curve)))


def mirrored_curve(curve: Iterable[Stretch]) -> Curve:
    """Reflected in the x axis, stretch by stretch, in the same order."""
    return tuple(stretch.mirrored() for stretch in curve)


def rotated_curve(curve: Iterable[Stretch], angle: float) -> Curve:
    """Turned about the shaft by `angle` (rad)."""
    return tuple(stretch.rotated(angle) for stretch in curve)


def curve_length(curve: Iterable[Stretch]) -> Real:
    """Sum of the lengths of the stretches, m, of their shape: any shape."""
    return np.asarray(sum(stretch.length for stretch in curve))


def polyline(curve: Sequence[Stretch], *, step: float, sagitta: float) -> Complex:
    """Points along a closed curve of scalar stretches, the last one not repeated.

    step: longest chord in m; sagitta: largest distance between chord and arc in m.
    """
    points = [
        stretch.at(np.arange(count) / count)
        for stretch in curve
        for count in [_chords(stretch, step, sagitta)]
    ]
    return np.concatenate(points)


def _chords(stretch: Stretch, step: float, sagitta: float) -> int:
    length = float(stretch.length)
    if isinstance(stretch, Arc):
        step = min(step, (8 * abs(float(np.asarray(stretch.radius))) * sagitta) ** 0.5)
    return max(int(np.ceil(length / step - 1e-9)), 1) if length > 1e-12 else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """Where a leg meets an arc about the shaft, in the frame of a loop whose axis is the x axis.

    Everything is scalar or broadcasts. `toward_axis` is +1 when the arc leads from the leg to the loop's axis
    and −1 when it leads away, to the axis of the next loop.

    leg_angle: polar angle of the radial line that the leg runs along, rad.
    leg_offset: signed distance of the leg from that line, + away from the loop's axis, m.
    center_radius: distance of the fillet's centre from the shaft, m.
    bend: bend radius of the turn at the fillet, m.
    outer: whether the arc is the outer one.
    tilt: polar angle between the radial line and the fillet's centre, rad, of any shape, + away from the loop's axis;
    clipped to a right angle where the fillet would not fit, which the fit rules report.
    center: of the fillet, m, of the shape of the radii, about which core or island is rounded.
    """

    leg_angle: float
    leg_offset: ArrayLike
    center_radius: ArrayLike
    bend: ArrayLike
    toward_axis: int
    outer: bool

    tilt: Real = field(init=False)
    center: Complex = field(init=False)

    def __post_init__(self) -> None:
        sideways = np.asarray(self.leg_offset) - self.toward_axis * np.asarray(self.bend)
        radius = np.maximum(np.asarray(self.center_radius, float), 1e-12)
        tilt = np.arcsin(np.minimum(np.maximum(sideways / radius, -1.0), 1.0))
        center = np.asarray(self.center_radius) * np.exp(1j * (self.leg_angle + tilt))
        object.__setattr__(self, "tilt", tilt)
        object.__setattr__(self, "center", center)

    @property
    def arc_radius(self) -> Real:
        """Radius of the arc about the shaft, m; any shape."""
        reach = np.asarray(self.bend) if self.outer else -np.asarray(self.bend)
        return np.asarray(self.center_radius) + reach

    @property
    def tangent_point(self) -> Complex:
        """Where the straight leg begins: m, of the shape of the radii."""
        toward_leg = self.leg_angle + self.toward_axis * pi / 2
        return self.center + np.asarray(self.bend) * np.exp(1j * toward_leg)

    def leg_point(self, along: ArrayLike) -> Complex:
        """The point of the leg whose distance from the shaft, taken along the radial line, is `along`, m; any shape."""
        return (np.asarray(along) + 1j * np.asarray(self.leg_offset)) * np.exp(1j * self.leg_angle)

    def fillet(self) -> Arc:
        """From the leg's end round to the arc about the shaft."""
        turn = self.toward_axis * pi / 2
        start = self.leg_angle + turn
        sweep = self.tilt - turn if self.outer else self.tilt + turn
        return Arc(self.center, self.bend, start, sweep)

    def shaft_arc(self, axis_angle: float) -> Arc:
        """From the fillet's end about the shaft to the loop axis at `axis_angle` (rad)."""
        start = self.leg_angle + self.tilt
        return Arc(0.0, self.arc_radius, start, axis_angle - start)
