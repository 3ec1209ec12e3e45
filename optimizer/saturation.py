"""Whether a steel plate behind the magnets carries their flux, and what the field loses where it does not.

Images stand for an infinitely permeable plate. Finite elements over several machines (`saturation.csv`, made by
studies/steel_plate) show how far a real mild-steel plate falls short: the loss goes by the plate's thickness over
the thickness that half a pole's flux asks for, Φ/(1.5 T · D), D the magnets' diameter (of other shapes their size along the radius).
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import ceil

import numpy as np

from geometry.arrangement import Stack
from geometry.layout import Layout
from optimizer.field import magnet_field, odd_orders, pole_harmonics
from optimizer.quadrature import even_grid
from optimizer.steel_words import plate_words

SATURATION = 1.5  # T, mean over the plate's section of one magnet's diameter that leaves mild steel permeable
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

    flux: of half a pole into the plate by the image method, Wb. thickness, needed: m. derating: what to multiply
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
    """Least, middle and greatest factor over the recorded machines at `ratio` = thickness/needed thickness.

    Each machine's runs are joined by straight lines; below its thinnest plate and above its thickest the end values
    stand. Middle: the mean over the machines.
    """
    found = []
    for runs in _by_machine().values():
        ratios, factors = np.array([(run.ratio, run.derating) for run in runs]).T
        found.append(float(np.interp(ratio, ratios, factors)))
    return min(found), sum(found) / len(found), max(found)


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
def _by_machine() -> dict[str, list[Run]]:
    runs = sorted((run for run in saturation_table() if run.plate), key=lambda run: run.ratio)
    return {name: [r for r in runs if r.machine == name] for name in sorted({r.machine for r in runs})}


def half_pole_flux(layout: Layout) -> float:
    """Flux in Wb that half a pole sends into the plate: B_z at the plate's face over half a pole's sector.

    By images. In the plate's face the magnet and its own image are one magnet of twice the thickness, seen in its
    middle: its polarization there less what its two pole faces make, each a thickness away. A pole face alone is
    the end of an endless column of magnets; alternating poles make a column of some pole pitches endless.
    """
    carrier, magnet = layout.carrier, layout.carrier.magnet
    thickness = magnet.thickness
    column = ceil(COLUMN * carrier.pitch_radius / carrier.pole_pairs / thickness)
    faces = _sector_flux(layout, tuple(-thickness * (0.5 + j) for j in range(column)))
    # the other images, mirrored so that all lie below
    away = [abs(middle + thickness) for middle in layout.stack.middles]
    others = tuple(thickness - distance for distance in away if distance > thickness)
    beyond = _sector_flux(layout, others) if others else 0.0
    return carrier.polarization * magnet.area / 2 - 2 * faces + beyond


def _sector_flux(layout: Layout, middles: tuple[float, ...]) -> float:
    """Flux in Wb through half a pole's sector, one thickness above the faces, of magnets with these middles (m)."""
    carrier, height = layout.carrier, layout.carrier.magnet.thickness
    far = carrier.magnet.reach(carrier.pitch_radius)[1] + COLUMN * carrier.pitch_radius / carrier.pole_pairs
    radii = even_grid(0.0, float(far), height / 4)
    field = magnet_field(
        carrier.magnet, np.array([height]), carrier.pitch_radius + float(far), Stack(middles=middles),
        carrier.polarization,
    )  # fmt: skip
    orders = odd_orders(carrier.count, float(far), height)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[0][:, 0]
    over_angle = np.where(orders % 4 == 1, 1.0, -1.0) / (orders * carrier.pole_pairs)
    return float(np.trapezoid((over_angle @ harmonics) * radii, radii))
