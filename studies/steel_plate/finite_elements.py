"""Three-dimensional magnetostatic finite elements of half a pole of a machine, with saturating steel.

Without currents H = −∇ψ. A mirror plane through a magnet's axis leaves ψ free; halfway to the next magnet, of the other
polarity, ψ = 0; and so on the middle between facing carriers. ψ minimizes ∫ w(|∇ψ|) − ∫ B_r·∇ψ with w' = B(H), found
by Newton steps with a line search. Needs ngsolve (the optional extra `fem`). Lengths are millimetres in here.
"""

# pyright: reportMissingImports=false, reportAttributeAccessIssue=false
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# ngsolve may be missing, and has no types where it is not

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, pi, sin
from typing import Any

import numpy as np
from netgen.occ import (
    Axes,
    Box,
    Cylinder,
    Glue,
    OCCGeometry,
    Pnt,
    WorkPlane,
    X,
    Z,
)
from ngsolve import (
    H1,
    BilinearForm,
    BSpline,
    GridFunction,
    InnerProduct,
    Mesh,
    Variation,
    dx,
    grad,
    sqrt,
)

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet, Magnet
from geometry.stock.magnet_shapes import BlockMagnet
from studies.steel_plate.machines import window

MU0 = 4e-7 * pi
FAR = 45.0  # mm of air beyond the machine; twelve poles at 40 mm have died to a thousandth there
MIDDLE = 6.0  # mm around the shaft that are left out: no field gets there

# low-carbon steel, annealed (SAE 1010): the common curve, from memory
STEEL_H = (0, 238.7, 318.3, 358.1, 437.7, 477.5, 636.6, 795.8, 1114.1, 1273.2, 1591.5, 2228.2, 3183.1, 4774.6,
           6366.2, 7957.7, 15915.5, 31831.0, 47746.5, 63662.0, 79577.5, 159155.0, 318310.0)  # fmt: skip
STEEL_B = (0, 0.2003, 0.3204, 0.40045, 0.50055, 0.5606, 0.7908, 0.931, 1.1014, 1.2016, 1.302, 1.4028, 1.524, 1.626,
           1.698, 1.73, 1.87, 1.99, 2.04, 2.07, 2.095, 2.2, 2.4)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """near: largest element about magnets and winding as a share of the magnet's diameter; order: of the elements."""

    near: float = 0.1
    order: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """flux: through half a pole's window at the winding's middle, Wb. axis: B_z in T there on a magnet's axis."""

    flux: float
    axis: float
    unknowns: int


def solve(layout: Layout, fineness: Fineness | None = None, steel: bool = True) -> Solution:
    """The field of a layout's magnets and plates; `steel` False leaves air in the plate's place."""
    fineness = fineness or Fineness()
    mesh = Mesh(OCCGeometry(_half_pole(layout, fineness)).GenerateMesh(maxh=12, grading=0.4))
    mesh.Curve(fineness.order)
    psi = _potential(layout, mesh, fineness.order, steel)
    field = -MU0 * 1e3 * grad(psi)[2]
    radii, angles, height, areas = window(layout)
    axis = field(mesh(layout.carrier.pitch_radius * 1e3, 1e-6, height * 1e3))
    values = np.array(
        [[field(mesh(1e3 * r * cos(a), 1e3 * r * sin(a), 1e3 * height)) for a in angles] for r in radii]
    )
    return Solution(flux=float(np.sum(areas * values)), axis=float(axis), unknowns=int(psi.space.ndof))


def _sector(radii: tuple[float, float], heights: tuple[float, float], angle: float) -> Any:
    low, length = heights[0], heights[1] - heights[0]
    ring = Cylinder(Pnt(0, 0, low), Z, radii[1], length) - Cylinder(Pnt(0, 0, low), Z, radii[0], length)
    reach = 2 * radii[1]
    plane = WorkPlane(Axes((0, 0, low), n=Z, h=X)).MoveTo(0, 0)
    slice_ = plane.LineTo(reach, 0).LineTo(reach * cos(angle), reach * sin(angle)).LineTo(0, 0).Face()
    return ring * slice_.Extrude(length)


def _solid(magnet: Magnet, pitch: float) -> Any:
    thick = 1e3 * magnet.thickness
    if isinstance(magnet, BlockMagnet):
        length, width = 5e2 * magnet.length, 5e2 * magnet.width
        return Box(Pnt(pitch - length, -width, -thick), Pnt(pitch + length, width, 0))
    assert isinstance(magnet, DiscMagnet)
    return Cylinder(Pnt(pitch, 0, -thick), Z, 5e2 * magnet.diameter, thick)


def _half_pole(layout: Layout, fineness: Fineness) -> Any:
    """The parts glued together, named by what they are made of; faces where ψ = 0 are named "zero"."""
    carrier, magnet, angle = layout.carrier, layout.carrier.magnet, pi / layout.carrier.count
    pitch, thick, plate = (1e3 * v for v in (carrier.pitch_radius, magnet.thickness, carrier.plate))
    radius = 1e3 * float(carrier.pitch_radius - magnet.reach(carrier.pitch_radius)[0])
    rim, bore = 1e3 * layout.space.outer_radius, 1e3 * layout.space.bore_radius
    fine, facing = 2 * radius * fineness.near, carrier.arrangement == "facing"
    top = 1e3 * layout.clear / 2 if facing else FAR
    beside = (pitch - radius - 3, pitch + radius + 3)
    parts = {
        "magnet": (_solid(magnet, pitch) * _sector((MIDDLE, rim + FAR), (-thick, 0), angle), 1.5 * fine),
        "near": (_sector(beside, (0, min(top, 1e3 * (layout.air_gap + layout.stack_height))), angle), fine),
    }  # fmt: skip
    if plate:
        parts["plate"] = (_sector((bore, rim), (-thick - plate, -thick), angle), max(1.2 * fine, plate))
    air = _sector((MIDDLE, rim + FAR), (-thick - plate - FAR, top), angle)
    for name, (part, size) in parts.items():
        part.mat(name)
        part.maxh = size
        air = air - part
    air.mat("air")
    glued = Glue([*(part for part, _ in parts.values()), air])
    for face in glued.faces:
        middle = face.center
        halfway = abs(atan2(middle.y, middle.x) - angle) < 1e-6
        face.name = "zero" if halfway or (facing and abs(middle.z - top) < 1e-9) else "free"
    return glued


def _potential(layout: Layout, mesh: Any, order: int, steel: bool) -> Any:
    space = H1(mesh, order=order, dirichlet="zero")
    trial = space.TrialFunction()
    slope, magnet = grad(trial) * 1e3, layout.carrier.magnet  # A/m
    recoil = mesh.MaterialCF({"magnet": magnet.recoil_permeability}, default=1.0)
    energy = BilinearForm(space, symmetric=True)
    linear = "magnet|near|air" if steel else ".*"
    energy += Variation(MU0 / 2 * recoil * InnerProduct(slope, slope) * dx(linear))
    if steel and layout.carrier.plate:
        coenergy = BSpline(2, [0, *STEEL_H], list(STEEL_B)).Integrate()
        energy += Variation(coenergy(sqrt(1e-6 + InnerProduct(slope, slope))) * dx("plate"))
    energy += Variation(-magnet.warm_remanence * slope[2] * dx("magnet"))
    psi = GridFunction(space)
    _minimize(energy, psi)
    return psi


def _minimize(energy: Any, psi: Any, steps: int = 60) -> None:
    """Newton's steps, each halved until the energy falls. Raises RuntimeError when they do not settle."""
    slope, step, before = (psi.vec.CreateVector() for _ in range(3))
    level = energy.Energy(psi.vec)
    for _ in range(steps):
        energy.Apply(psi.vec, slope)
        energy.AssembleLinearization(psi.vec)
        step.data = energy.mat.Inverse(psi.space.FreeDofs(), inverse="sparsecholesky") * slope
        gain, share = InnerProduct(step, slope), 1.0
        before.data = psi.vec
        psi.vec.data = before - step
        while energy.Energy(psi.vec) > level - 1e-4 * share * abs(gain) and share > 1e-3:
            share /= 2
            psi.vec.data = before - share * step
        level = energy.Energy(psi.vec)
        if abs(gain) < 1e-9 * abs(level):
            return
    raise RuntimeError(f"the finite elements did not settle in {steps} steps")
