"""Whether a steel plate behind the magnets carries their flux, and what the field loses where it does not.

Images stand for an infinitely permeable plate. Finite elements over several machines with disc magnets
(`saturation.csv`, made by studies/steel_plate) show how far a real mild-steel plate falls short: the loss goes by the
plate's thickness over the thickness that the flux of half a pole face asks for, Φ/(1.5 T · D), D the magnets'
diameter (of other shapes their size along the radius).
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import ceil

import numpy as np

from geometry.arrangement import Stack
from geometry.curve import Complex, Real, polyline
from geometry.layout import Layout
from optimizer.field import magnet_field, odd_orders, pole_harmonics
from optimizer.quadrature import even_grid, gauss
from optimizer.steel_words import plate_words

SATURATION = 1.5  # T, mean over the plate's section of one magnet's diameter that leaves mild steel permeable
NODES = 8  # Gauss points from a face's middle to its edge
TABLE = "saturation.csv"
COLUMN = 12.0  # pole-pair decay lengths (pitch radius over pole pairs) after which alternating poles have died away


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One finite-element run beside the model, halfway up the winding.

    machine: its name; needed: plate thickness by the rule, m; plate: thickness, m, 0 for none. flux: through half a
    pole of the winding, Wb, and axis: field on a magnet's axis, T, each by the model and by finite elements.
    """

    machine: str
    needed: float
    plate: float
    flux: tuple[float, float]
    axis: tuple[float, float]

    @property
    def ratio(self) -> float:
        """Thickness over needed thickness."""
        return self.plate / self.needed

    @property
    def derating(self) -> float:
        """Flux by finite elements over that by images."""
        return self.flux[1] / self.flux[0]

    @property
    def error(self) -> float:
        """The greater of the model's errors in flux and on the axis, a share."""
        return max(abs(model / found - 1) for model, found in (self.flux, self.axis))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateCheck:
    """A plate against its magnets' flux.

    flux: of half a pole face into the plate by the image method, Wb. thickness, needed: m. derating: what to multiply
    the images' field and EMF by. low, high: the band of that factor over the recorded machines.
    """

    flux: float
    thickness: float
    needed: float
    derating: float
    low: float
    high: float

    @property
    def enough(self) -> bool:
        """Whether plain images serve."""
        return self.thickness >= self.needed

    @property
    def words(self) -> str:
        """What to tell the builder."""
        return plate_words(self.thickness * 1e3, self.needed * 1e3, (self.low, self.derating, self.high))


def plate_check(layout: Layout) -> PlateCheck | None:
    """The check of a layout's steel plates; None for a machine without any."""
    carrier = layout.carrier
    if not carrier.plate:
        return None
    flux = half_pole_flux(layout)
    needed = plate_needed(layout, flux)
    low, derating, high = derating_band(carrier.plate / needed)
    return PlateCheck(
        flux=flux, thickness=carrier.plate, needed=needed, derating=derating, low=low, high=high
    )  # fmt: skip


def plate_needed(layout: Layout, flux: float | None = None) -> float:
    """Thickness in m from which plain images serve, Φ/(1.5 T · D); `flux` Φ in Wb where it is known already."""
    flux = half_pole_flux(layout) if flux is None else flux
    near, far = layout.carrier.magnet.reach(layout.carrier.pitch_radius)
    return flux / (SATURATION * float(far - near))


def derating_band(ratio: float) -> tuple[float, float, float]:
    """Least, mean and greatest factor over the recorded machines at `ratio` = thickness/needed thickness.

    Each machine's runs, the one without a plate among them, are joined by straight lines; beyond its thickest plate
    that one's factor stands; none is above 1.
    """
    found = [float(np.interp(ratio, *curve)) for curve in _curves()]
    low, middle, high = min(found), sum(found) / len(found), max(found)
    return min(low, 1.0), min(middle, 1.0), min(high, 1.0)


def plain_errors() -> list[float]:
    """Errors of the images' flux over the recorded machines whose plates are thick enough, shares."""
    return [1 / run.derating - 1 for run in saturation_table() if run.ratio >= 1]


def field_error(layout: Layout, check: PlateCheck | None) -> float | None:
    """Greatest error of the computed field that finite elements found over the recorded machines, a share.

    Without plates, or with plates that carry the flux: of machines of that kind. With thinner ones: by how much plain
    images were too high at most. None for magnets other than discs, which were not looked at.
    """
    if layout.carrier.magnet.shape != "disc":
        return None
    if check is not None and not check.enough:
        return 1 / check.low - 1
    return max(run.error for run in saturation_table() if (run.ratio >= 1 if check else run.plate == 0))


@cache
def saturation_table() -> tuple[Run, ...]:
    """The recorded finite-element runs."""
    text = files("optimizer").joinpath(TABLE).read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        Run(
            machine=row["machine"],
            needed=float(row["needed_mm"]) * 1e-3,
            plate=float(row["plate_mm"]) * 1e-3,
            flux=(float(row["images_uWb"]) * 1e-6, float(row["finite_elements_uWb"]) * 1e-6),
            axis=(float(row["images_axis_mT"]) * 1e-3, float(row["finite_elements_axis_mT"]) * 1e-3),
        )
        for row in rows
    )


@cache
def _curves() -> tuple[tuple[Real, Real], ...]:
    """Ratios and factors of each machine, from no plate up; its factor at 0 is what is left without the plate."""
    found: dict[str, list[Run]] = {}
    for run in sorted(saturation_table(), key=lambda run: run.ratio):
        found.setdefault(run.machine, []).append(run)
    return tuple(
        (
            np.array([run.ratio for run in runs]),
            np.array([run.flux[1] / runs[-1].flux[0] for run in runs]),
        )
        for runs in found.values()
    )


def half_pole_flux(layout: Layout) -> float:
    """Flux in Wb that half a magnet's pole face sends into the plate, by images.

    In the plate's face the magnet and its own image are one magnet of twice the thickness, seen in its middle: its
    polarization there less what its two pole faces make, each a thickness away. A pole face alone is the end of an
    endless column of magnets; with alternating poles a column of some pole pitches is endless.
    """
    carrier, thickness = layout.carrier, layout.carrier.magnet.thickness
    column = ceil(COLUMN * carrier.pitch_radius / carrier.pole_pairs / thickness)
    faces = _mean_field(layout, tuple(-thickness * (0.5 + j) for j in range(column)))
    # the other images, mirrored so that all lie below
    away = [abs(middle + thickness) for middle in layout.stack.middles]
    others = tuple(thickness - distance for distance in away if distance > thickness)
    beyond = _mean_field(layout, others) if others else 0.0
    return (carrier.polarization - 2 * faces + beyond) * carrier.magnet.area / 2


def _mean_field(layout: Layout, middles: tuple[float, ...]) -> float:
    """B_z in T one thickness above the faces, mean over a magnet's outline, of magnets with these middles (m)."""
    carrier, height = layout.carrier, layout.carrier.magnet.thickness
    points, weights = _face_points(
        polyline(carrier.magnet.outline(carrier.pitch_radius), step=1e-3, sagitta=1e-5)
    )
    near, far = float(np.abs(points).min()), float(np.abs(points).max())
    radii = even_grid(near, far, min(height, far - near) / 8)
    field = magnet_field(
        carrier.magnet,
        np.array([height]),
        carrier.pitch_radius + far,
        Stack(middles=middles),
        carrier.polarization,
    )
    orders = odd_orders(carrier.count, far, height)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[0][:, 0]
    waves = np.cos(np.outer(orders * carrier.pole_pairs, np.angle(points)))
    values = sum(
        np.interp(np.abs(points), radii, row) * wave for row, wave in zip(harmonics, waves, strict=True)
    )
    return float(np.sum(weights * values))


def _face_points(outline: Complex) -> tuple[Complex, Real]:
    """Points over a face and weights that make a mean, by triangles from its middle to its edge."""
    t, w = gauss(NODES)
    following, middle = np.roll(outline, -1), outline.mean()
    doubled = ((outline - middle).conj() * (following - outline)).imag
    points = middle + t[:, None] * ((outline + following) / 2 - middle)
    weights = np.outer(w * t, doubled)
    return points.ravel(), (weights / weights.sum()).ravel()
