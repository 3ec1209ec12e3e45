"""What a steel plate behind the magnets gives, thick or thin.

Images stand for an infinitely permeable plate. Of a real one a share k of what the images add is there,
V = V_none + k (V_images − V_none), so that no plate lowers the volts and a thicker one never gives less. Finite
elements over machines of many proportions (`saturation.csv`, made by studies/steel_plate) gave k by the plate's
thickness t over t₀ = Φ/(1.5 T · D), which the flux Φ of half a pole face asks for, D the size of the
magnets along the radius:

    k = (u/(1 + u^n)^(1/n))^q
    u = c · t/t₀ · (1 + a (2 − e^(−b·rim/D) − e^(−b·bore/D))) · (D/τ)^d · tanh(π h/τ)^e

with what the plate carries where it reaches beyond the magnets toward rim and bore, τ the pole pitch, and h half the
distance between the plates of facing carriers (of one carrier without end). The constants
are a fit to the table's discs.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from math import ceil, inf
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Complex, Real, polyline
from geometry.machine.layout import Carrier, Layout, Space, Stack, magnet_stack
from optimizer.field.pole_harmonics import magnet_field, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid, gauss

SATURATION = 1.5  # T, over the plate's section of a magnet's size along the radius; mild steel is permeable up to it
NODES = 8  # Gauss points from a face's middle to its edge
COLUMN = 12.0  # pole-pair decay lengths (pitch radius over pole pairs) after which alternating poles have died away
TABLE = Path(__file__).with_name("saturation.csv")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proportions:
    """What k goes by, no dimensions; fields broadcast.

    thickness: t/t₀. rim, bore: how far the plate reaches beyond the magnets, over D. crowd: D/τ. apart: h/τ.
    """

    thickness: ArrayLike
    rim: ArrayLike
    bore: ArrayLike
    crowd: ArrayLike
    apart: ArrayLike


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """Constants of the share k, as above."""

    c: float
    n: float
    q: float
    a: float
    b: float
    d: float
    e: float

    def share(self, at: Proportions) -> Real:
        """The share k, between 0 and 1; broadcasts over arrays of any shape."""
        aside = 2 - np.exp(-self.b * np.asarray(at.rim)) - np.exp(-self.b * np.asarray(at.bore))
        u = self.c * np.asarray(at.thickness) * (1 + self.a * aside)
        u = u * np.asarray(at.crowd) ** self.d * np.tanh(np.pi * np.asarray(at.apart)) ** self.e
        return np.asarray((u / (1 + u**self.n) ** (1 / self.n)) ** self.q)


LAW = Law(c=1.5918, n=6.1801, q=0.8565, a=0.3357, b=5.2937, d=-0.0574, e=0.145)
# share within which the volts of nine recorded runs in ten lie: discs, their machine left out of the fit; blocks, to
# which the constants were not fitted, stray further, and other shapes are taken to be no better
BANDS = {"disc": 0.012}
OTHER_BAND = 0.045


@dataclass(frozen=True, slots=True, kw_only=True)
class FiniteElementRun:
    """One finite-element run beside the model, halfway up the winding.

    machine: its name; shape: of its magnets; plate: thickness, m, 0 for none. flux: through half a pole of the winding,
    Wb, by the magnets alone, by images and by finite elements.
    """

    machine: str
    shape: str
    plate: float
    at: Proportions
    flux: tuple[float, float, float]

    @property
    def error(self) -> float:
        """Of the model's flux, a share, signed."""
        return self.error_by(LAW)

    def error_by(self, law: Law) -> float:
        """The relative error of the same law with other constants."""
        alone, images, found = self.flux
        return (alone + float(law.share(self.at)) * (images - alone)) / found - 1


def images_share(layout: Layout) -> float:
    """The share k of a layout's plates; 0 without any."""
    return float(LAW.share(layout_proportions(layout))) if layout.carrier.plate else 0.0


def layout_proportions(layout: Layout) -> Proportions:
    """What k of a layout's plates goes by."""
    carrier, clear = layout.carrier, layout.clear
    return proportions(layout.space, carrier, carrier.pitch_radius, clear, needed_thickness(carrier, clear))


def proportions(
    space: Space, carrier: Carrier, pitch_radius: ArrayLike, clear: ArrayLike, needed: ArrayLike
) -> Proportions:
    """What k goes by for carriers like this one (broadcasts) at pitch radii and distances of facing magnets' faces, m.

    needed: thickness that each needs, m.
    """
    near, far = carrier.magnet.reach(pitch_radius)
    pitch = np.pi * np.asarray(pitch_radius) / carrier.pole_pairs
    facing = carrier.arrangement == "facing"
    return Proportions(
        thickness=carrier.plate / np.asarray(needed),
        rim=np.maximum(space.outer_radius - far, 0) / (far - near),
        bore=np.maximum(near - space.bore_radius, 0) / (far - near),
        crowd=(far - near) / pitch,
        apart=(np.asarray(clear) / 2 + carrier.magnet.thickness) / pitch if facing else inf,
    )


def plate_needed(layout: Layout) -> float:
    """Thickness in m up to which the flux saturates the steel, Φ/(1.5 T · D)."""
    return needed_thickness(layout.carrier, layout.clear)


@lru_cache(maxsize=256)
def needed_thickness(carrier: Carrier, clear: float) -> float:
    """`plate_needed` of a carrier, the faces of facing magnets `clear` (m) apart."""
    near, far = carrier.magnet.reach(carrier.pitch_radius)
    return half_pole_flux(carrier, clear) / (SATURATION * float(far - near))


def half_pole_flux(carrier: Carrier, clear: float) -> float:
    """Flux in Wb into a plate that carries it all; clear: distance between facing magnet faces, m.

    In the plate's face the magnet and its own image are one magnet of twice the thickness, seen in its middle: its
    polarization there less what its two pole faces make, each a thickness away. A pole face alone is the end of an
    endless column of magnets; with alternating poles a column of some pole pitches is endless.
    """
    magnet, far = carrier.magnet, COLUMN * carrier.pitch_radius / carrier.pole_pairs
    thickness, polarization = magnet.thickness, magnet.effective_polarization(backed=1.0)
    column = [-thickness * (0.5 + j) for j in range(ceil(far / thickness))]
    mirrored = magnet_stack(magnet, carrier.arrangement, images=1.0, clear=clear, reach=far / 2)
    # the other images, mirrored so that all lie below
    away = [abs(middle + thickness) for middle in mirrored.middles]
    others = [thickness - distance for distance in away if distance > thickness]
    faces = _mean_field(carrier, column)
    beyond = _mean_field(carrier, others) if others else 0.0
    return polarization * (1 - 2 * faces + beyond) * magnet.area / 2


def _mean_field(carrier: Carrier, middles: list[float]) -> float:
    """B_z one thickness above the faces, mean over a magnet's outline, of magnets of 1 T with these middles (m)."""
    magnet, height = carrier.magnet, carrier.magnet.thickness
    points, weights = _face_points(
        polyline(magnet.outline(carrier.pitch_radius), step=1e-3, sagitta=1e-5)
    )
    near, far = float(np.abs(points).min()), float(np.abs(points).max())
    radii = even_grid(near, far, min(height, far - near) / 8)
    column = Stack(middles=tuple(middles), polarizations=(1.0,) * len(middles))
    field = magnet_field(magnet, np.array([height]), carrier.pitch_radius + far, column)
    orders = odd_orders(carrier.count, far, height)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[:, 0]
    waves = np.cos(np.outer(orders * carrier.pole_pairs, np.angle(points)))
    pairs: list[tuple[Real, Real]] = [*zip(harmonics, waves, strict=True)]
    values = sum(np.interp(np.abs(points), radii, row) * wave for row, wave in pairs)
    return float(np.sum(weights * values))


def _face_points(outline: Complex) -> tuple[Complex, Real]:
    """Points over a face and weights that make a mean, by triangles from its middle to its edge."""
    t, w = gauss(NODES)
    following, middle = np.roll(outline, -1), outline.mean()
    doubled = ((outline - middle).conj() * (following - outline)).imag
    points = middle + t[:, None] * ((outline + following) / 2 - middle)
    weights = np.outer(w * t, doubled)
    return points.ravel(), (weights / weights.sum()).ravel()


def field_error(layout: Layout) -> float | None:
    """Greatest error of the volts by finite elements over the recorded machines of the same kind, a share.

    That is with the same shape of magnet, with plates or without. None for rings and arcs, which were not looked at.
    """
    kind = layout.carrier.magnet.shape, layout.carrier.plate > 0
    alike = [abs(run.error) for run in saturation_table() if (run.shape, run.plate > 0) == kind]
    return max(alike, default=None)


def plate_band(layout: Layout) -> float:
    """Share within which the volts of a machine with a plate lie in nine of ten."""
    return BANDS.get(layout.carrier.magnet.shape, OTHER_BAND)


@cache
def saturation_table() -> tuple[FiniteElementRun, ...]:
    """The recorded finite-element runs."""
    text = TABLE.read_text(encoding="utf-8")
    return tuple(_run(row) for row in csv.DictReader(line for line in text.splitlines() if line[0] != "#"))


def _run(row: Mapping[str, str]) -> FiniteElementRun:
    alone, images, found = (float(row[f"{name}_uWb"]) * 1e-6 for name in ("alone", "images", "found"))
    return FiniteElementRun(
        machine=row["machine"],
        shape="block" if row["width_mm"] else "disc",
        plate=float(row["plate_mm"]) * 1e-3,
        at=Proportions(**{each.name: float(row[each.name]) for each in fields(Proportions)}),
        flux=(alone, images, found),
    )
