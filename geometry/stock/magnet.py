"""The magnet: grade, shape, remanence, and the effective polarization that its own demagnetizing field leaves.

One class for each shape (blocks and arcs: `magnet_shapes.py`), all magnetized along their thickness and symmetric about
the radial line they stand on. Each says where its face lies in the carrier, and how far it is to the shaft, to the rim
and to its neighbour.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from math import pi, sin, sqrt
from typing import Any, ClassVar, Self

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Curve, Real, circle
from geometry.files.key_tables import Checked, quantity
from geometry.files.schema import file_keys, keyed
from geometry.stock.demagnetizing import disc_demagnetizing_factor, ring_demagnetizing_factor

SHEETS = "least minimum of three makers' published data sheets"
MMPA = "MMPA Standard 0100-00, table III-1"
TRADE = "least value of the trade's common ferrite table"


@dataclass(frozen=True, slots=True)
class Grade:
    """Least remanence in T, recoil permeability, density in kg/m³, hottest use in °C, and the source.

    remanence_coefficient: reversible relative change of remanence per kelvin.
    """

    name: str
    remanence: float
    recoil_permeability: float
    density: float
    max_temperature: float
    remanence_coefficient: float
    source: str


def _neodymium(name: str, remanence: float, max_temperature: float = 80) -> Grade:
    return Grade(name, remanence, 1.05, 7400, max_temperature, -0.0012, SHEETS)


def _ferrite(name: str, remanence: float, source: str) -> Grade:
    return Grade(name, remanence, 1.1, 4900, 250, -0.0020, source)


UNKNOWN = "unknown"  # counts as the weakest neodymium that is commonly sold; ferrite is told by its dull grey
PULL_BAND = 0.15  # share by which measured pulls lie about computed ones (Vokoun and Beleggia, JMMM 2011 and 2014)
STRONGEST = 1.48  # T; of the strongest neodymium that is commonly sold, N52 at its best (from memory)

GRADES: dict[str, Grade] = {
    grade.name: grade
    for grade in (
        _neodymium("N35", 1.17),
        _neodymium("N38", 1.21),
        _neodymium("N40", 1.24),
        _neodymium("N42", 1.28),
        _neodymium("N45", 1.32),
        _neodymium("N48", 1.37),
        _neodymium("N50", 1.40, 70),
        _neodymium("N52", 1.43, 70),
        _neodymium(UNKNOWN, 1.17),
        _ferrite("C5", 0.380, MMPA),
        _ferrite("C8", 0.385, MMPA),
        _ferrite("Y30", 0.380, TRADE),
        _ferrite("Y35", 0.400, TRADE),
    )
}
"""By name, with their least guaranteed remanence.

Sintered neodymium: the least of the minimum remanences in three makers' published data sheets (makers differ
by up to 3 %). Ferrite C5 and C8: MMPA Standard 0100-00, table III-1; Y30 and Y35: the least value of the
trade's common table. Recoil permeability: 1.05 for neodymium (makers' sheets), 1.1 for ferrite (MMPA gives
1.05 to 1.2). Densities: MMPA 0100-00, tables III and IV (7.4 and 4.9 g/cm³).
Reversible temperature coefficient of remanence: -0.12 %/K for neodymium (makers' sheets; MMPA gives -0.09),
-0.20 %/K for ferrite (MMPA table III-2).
"""


FACE = quantity(minimum="0.1", maximum="2000", milli=True)


def face_size(name: str, meaning: str, label: str = "", check: Checked = FACE, comment: str = "") -> Any:
    """A field with a size of the face, which a file calls `name`; see `keyed`."""
    return keyed(name, check, meaning, label, comment=comment, usual="required for its shape")


@dataclass(frozen=True, slots=True, kw_only=True)
class Magnet(ABC):
    """What all shapes share; the sizes of the face are those fields that a file holds (`file_keys`).

    thickness: m, along the shaft and the magnetization, above zero.
    remanence: T, above zero.
    grade: the trade grade that the remanence came from, or None when it was given as a number.
    recoil_permeability: relative, at least 1.
    temperature: of the magnet in use, °C; the remanence is that at 20 °C.
    pull: at thick steel, N, where the remanence follows from it (`geometry.stock.pull`), else None.
    Raises ValueError outside these ranges.
    """

    thickness: float
    remanence: float
    grade: str | None = None
    recoil_permeability: float = 1.05
    temperature: float = 20.0
    pull: float | None = None

    shape: ClassVar[str]
    """Name of the shape in files and figures."""
    NESTED: ClassVar[tuple[str, str] | None] = None
    """A size of the face that must be below another one."""

    def __post_init__(self) -> None:
        for name in (*file_keys(type(self)), "thickness", "remanence"):
            value = getattr(self, name)
            if not value > 0:
                raise ValueError(f"magnet {name} must be above zero, was {value:g}")
        if not self.recoil_permeability >= 1:
            raise ValueError(f"recoil permeability must be at least 1, was {self.recoil_permeability:g}")
        self._check()

    def _check(self) -> None:  # noqa: B027  most shapes have nothing to check
        """Raise ValueError for sizes that do not go together."""

    @classmethod
    def of_grade(cls, *, grade: str, **sizes: Any) -> Self:
        """The magnet of a trade grade, with the grade's least guaranteed remanence; sizes in m by name."""
        row = GRADES[grade]
        recoil = row.recoil_permeability
        return cls(**sizes, remanence=row.remanence, grade=grade, recoil_permeability=recoil)

    @property
    @abstractmethod
    def area(self) -> float:
        """Of the face, m²."""

    @property
    @abstractmethod
    def across(self) -> float:
        """Smallest size across the face, m: what a mark on it must keep within."""

    @property
    @abstractmethod
    def size_label(self) -> str:
        """Its sizes in millimetres, as on an order: "⌀ 15 × 4 mm"."""

    @abstractmethod
    def factor(self, thickness: float) -> float:
        """Demagnetizing factor of a magnet of this face and of `thickness` (m)."""

    @abstractmethod
    def outline(self, pitch_radius: float) -> Curve:
        """The edge of its face, on the x axis at `pitch_radius` (m), counter-clockwise."""

    def hole(self, pitch_radius: float) -> Curve:
        """The edge, m, of what its face leaves open, placed and turned as its outline; nothing unless it has a hole."""
        return ()

    @property
    def discs(self) -> tuple[tuple[float, int], ...]:
        """Radii (m) of the solid discs about its own axis that it is the sum (+1) or difference (−1) of, if it is."""
        return ()

    @property
    def mark_room(self) -> tuple[float, float]:
        """What a mark on its face must keep within, and how far from the face's middle it stands at least, m."""
        return self.across, 0.0

    @abstractmethod
    def reach(self, pitch_radius: ArrayLike) -> tuple[Real, Real]:
        """Distances of the nearest and of the farthest point of the face from the shaft, m; any shape."""

    @abstractmethod
    def beside(self, pitch_radius: ArrayLike, count: ArrayLike) -> Real:
        """Distance to the neighbour, m (any shape), of `count` evenly on a pitch circle; below zero they overlap."""

    @abstractmethod
    def pitch_limits(self, minimum: float, maximum: float) -> tuple[float, float]:
        """Pitch radii at which the face keeps between these distances from the shaft, m; the first above if none."""

    @abstractmethod
    def closest_pitch_radius(self, count: int, wall: float) -> float:
        """Pitch radius at which `count` stand a `wall` apart, m."""

    @abstractmethod
    def kinks(self, pitch_radius: float) -> list[float]:
        """Distances from the shaft between which its face widens and narrows smoothly, ascending, m."""

    @abstractmethod
    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        """Where the circle of `radius` (m, any shape) about the shaft crosses half of its face: from and to, rad.

        Polar angles off the radial line that the magnet stands on; equal where the circle misses the face.
        """

    @abstractmethod
    def gyration_square(self, pitch_radius: float) -> float:
        """Mean square distance of the face from the shaft, m²: its moment of inertia over its mass."""

    def placed(self, pitch_radius: float) -> float:
        """The pitch radius that it takes when asked for this one, m: an arc has only its own."""
        return pitch_radius

    @property
    def demagnetizing_factor(self) -> float:
        """Magnetometric factor of the magnet by itself, see `geometry.stock.demagnetizing`."""
        return self.factor(self.thickness)

    @property
    def polarization(self) -> float:
        """Effective polarization in T of the magnet by itself, see `effective_polarization`."""
        return self.effective_polarization(backed=0.0)

    def effective_polarization(self, *, backed: float) -> float:
        """What the field is computed from: warm remanence/(1 + n (μr − 1)), T.

        n is the demagnetizing factor of the magnet's shape; with a steel plate behind it, of the magnet together with
        its image, a magnet of twice the thickness. backed: from 0, no plate, to 1, one that carries all the flux.
        """
        free, whole = (
            self.warm_remanence / (1 + self.factor(self.thickness * length) * (self.recoil_permeability - 1))
            for length in (1, 2)
        )
        return free + backed * (whole - free)

    @property
    def warm_remanence(self) -> float:
        """Remanence in T at the magnet's temperature, by its grade's reversible coefficient."""
        return self.remanence * (1 + self.material.remanence_coefficient * (self.temperature - 20.0))

    @property
    def remanence_band(self) -> tuple[float, float] | None:
        """Least and most remanence, T at 20 °C, that is plausible where the grade is unknown or a pull was measured."""
        if self.grade == UNKNOWN:
            return self.remanence, STRONGEST
        if self.pull is None:
            return None
        return self.remanence * sqrt(1 - PULL_BAND), self.remanence * sqrt(1 + PULL_BAND)

    @property
    def volume(self) -> float:
        """m³."""
        return self.area * self.thickness

    @property
    def mass(self) -> float:
        """kg, with the density of the grade (neodymium when no grade is given and the remanence is above 0.6 T)."""
        return self.volume * self.material.density

    @property
    def material(self) -> Grade:
        """The grade's row; without a grade N42's above 0.6 T, else C5's: only for density and temperature."""
        row = GRADES.get(self.grade) if self.grade else None
        return row or (GRADES["N42"] if self.remanence > 0.6 else GRADES["C5"])

    @property
    def sizes(self) -> dict[str, float]:
        """Sizes by their keys in files, as these state them: mm and degrees; thickness last."""
        sizes = file_keys(type(self)).items()
        faces = {own.name: getattr(self, name) * (1e3 if own.check.milli else 1) for name, own in sizes}
        return faces | {"thickness_mm": self.thickness * 1e3}

    @property
    def label(self) -> str:
        """Shape and sizes in words: "disc ⌀ 15 × 4 mm"."""
        return f"{self.shape} {self.size_label}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscMagnet(Magnet):
    """A disc. diameter: m, above zero."""

    diameter: float = face_size("diameter_mm", "of a disc or ring")

    shape = "disc"

    @property
    def area(self) -> float:
        return pi / 4 * self.diameter**2

    @property
    def across(self) -> float:
        return self.diameter

    @property
    def size_label(self) -> str:
        return f"⌀ {mm_text(self.diameter)} × {mm_text(self.thickness)} mm"

    @property
    def discs(self) -> tuple[tuple[float, int], ...]:
        return ((self.diameter / 2, 1),)

    def factor(self, thickness: float) -> float:
        return disc_demagnetizing_factor(self.diameter, thickness)

    def outline(self, pitch_radius: float) -> Curve:
        return circle(complex(pitch_radius), self.diameter / 2)

    def reach(self, pitch_radius: ArrayLike) -> tuple[Real, Real]:
        pitch_radius = np.asarray(pitch_radius, float)
        return pitch_radius - self.diameter / 2, pitch_radius + self.diameter / 2

    def beside(self, pitch_radius: ArrayLike, count: ArrayLike) -> Real:
        return 2 * np.asarray(pitch_radius, float) * np.sin(pi / np.asarray(count)) - self.diameter

    def pitch_limits(self, minimum: float, maximum: float) -> tuple[float, float]:
        return minimum + self.diameter / 2, maximum - self.diameter / 2

    def closest_pitch_radius(self, count: int, wall: float) -> float:
        return (self.diameter + wall) / (2 * sin(pi / count))

    def kinks(self, pitch_radius: float) -> list[float]:
        return [pitch_radius - self.diameter / 2, pitch_radius + self.diameter / 2]

    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        return np.zeros(radius.shape), half_chord(pitch_radius, self.diameter / 2, radius)

    def gyration_square(self, pitch_radius: float) -> float:
        return pitch_radius**2 + self.diameter**2 / 8


@dataclass(frozen=True, slots=True, kw_only=True)
class RingMagnet(DiscMagnet):
    """A disc with a hole. bore: its diameter, m, above zero and below the ring's."""

    bore: float = face_size("bore_mm", "of a ring", "Hole", comment="of its hole")

    shape = "ring"
    NESTED = ("bore", "diameter")

    def _check(self) -> None:
        if not self.bore < self.diameter:
            raise ValueError(f"magnet bore must be below the diameter ({self.diameter:g}), was {self.bore:g}")

    @property
    def area(self) -> float:
        return pi / 4 * (self.diameter**2 - self.bore**2)

    @property
    def size_label(self) -> str:
        return f"⌀ {mm_text(self.diameter)} / {mm_text(self.bore)} × {mm_text(self.thickness)} mm"

    @property
    def discs(self) -> tuple[tuple[float, int], ...]:
        return (self.diameter / 2, 1), (self.bore / 2, -1)

    def hole(self, pitch_radius: float) -> Curve:
        return circle(complex(pitch_radius), self.bore / 2)

    @property
    def mark_room(self) -> tuple[float, float]:
        wall = (self.diameter - self.bore) / 2
        return min(3 * wall, self.across), (self.diameter + self.bore) / 4

    def factor(self, thickness: float) -> float:
        return ring_demagnetizing_factor(self.diameter, self.bore, thickness)

    def kinks(self, pitch_radius: float) -> list[float]:
        edges = (self.diameter / 2, self.bore / 2, -self.bore / 2, -self.diameter / 2)
        return [pitch_radius - edge for edge in edges]

    def covers(self, pitch_radius: float, radius: Real) -> tuple[Real, Real]:
        inner, outer = (half_chord(pitch_radius, size / 2, radius) for size in (self.bore, self.diameter))
        return inner, outer

    def gyration_square(self, pitch_radius: float) -> float:
        return pitch_radius**2 + (self.diameter**2 + self.bore**2) / 8


def half_chord(pitch_radius: float, edge: float, radius: Real) -> Real:
    """Half the polar angle that a disc of radius `edge` around `pitch_radius` takes of circles about the shaft, rad.

    Lengths in m; radius of any shape; zero where a circle misses the disc.
    """
    cosine = (radius**2 + pitch_radius**2 - edge**2) / (2 * radius * pitch_radius)
    return np.arccos(np.clip(cosine, -1.0, 1.0))


def mm_text(length: float) -> str:
    """A length in m as a number of millimetres."""
    return f"{length * 1e3:.6g}"
