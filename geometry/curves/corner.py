"""The rounded corner between a leg and an arc about the shaft, shared by serpentine and wedge."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Arc, Complex, Real


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
