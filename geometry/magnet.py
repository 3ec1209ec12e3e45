"""The magnet: shape, remanence, and the effective polarization that its own demagnetizing field leaves."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from scipy.special import ellipe, ellipk

from geometry.grades import GRADES, Grade


def disc_demagnetizing_factor(diameter: float, thickness: float) -> float:
    """Magnetometric demagnetizing factor of a uniformly magnetized disc along its axis, between 0 and 1.

    The mean flux density of such a disc is that of a thin solenoid, so the factor is one minus Nagaoka's
    coefficient; with k² = D²/(D² + l²) and D = diameter, l = thickness, the coefficient is
    4/(3π √(1 − k²)) · ((1 − k²)/k² · K + (2 k² − 1)/k² · E − k).
    Source: Nagaoka, J. Coll. Sci. Tokyo 27 (1909); Joseph, J. Appl. Phys. 37 (1966) 4639 (from memory),
    checked in tests/validation against Lyle's table.
    """
    m = diameter**2 / (diameter**2 + thickness**2)
    bracket = (1 - m) / m * ellipk(m) + (2 * m - 1) / m * ellipe(m) - m**0.5
    nagaoka = 4 / (3 * pi * (1 - m) ** 0.5) * bracket
    return float(1 - nagaoka)


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscMagnet:
    """A disc magnet, magnetized along its axis.

    diameter, thickness: m, above zero.
    remanence: T, above zero.
    grade: the trade grade that the remanence came from, or None when it was given as a number.
    recoil_permeability: relative, at least 1.
    temperature: of the magnet in use, °C; the remanence is that at 20 °C.
    Raises ValueError outside these ranges.
    """

    diameter: float
    thickness: float
    remanence: float
    grade: str | None = None
    recoil_permeability: float = 1.05
    temperature: float = 20.0

    def __post_init__(self) -> None:
        for name in ("diameter", "thickness", "remanence"):
            value = getattr(self, name)
            if not value > 0:
                raise ValueError(f"magnet {name} must be above zero, was {value:g}")
        if not self.recoil_permeability >= 1:
            raise ValueError(f"recoil permeability must be at least 1, was {self.recoil_permeability:g}")

    @classmethod
    def of_grade(cls, *, diameter: float, thickness: float, grade: str) -> DiscMagnet:
        """The disc of a trade grade, with the grade's least guaranteed remanence."""
        row = GRADES[grade]
        return cls(
            diameter=diameter, thickness=thickness, remanence=row.remanence, grade=grade,
            recoil_permeability=row.recoil_permeability,
        )  # fmt: skip

    @property
    def shape(self) -> str:
        """Name of the shape in files and figures."""
        return "disc"

    @property
    def demagnetizing_factor(self) -> float:
        """See `disc_demagnetizing_factor`."""
        return disc_demagnetizing_factor(self.diameter, self.thickness)

    @property
    def polarization(self) -> float:
        """Effective polarization in T of the magnet by itself, see `effective_polarization`."""
        return self.effective_polarization(backed=False)

    def effective_polarization(self, *, backed: bool) -> float:
        """What the field is computed from: warm remanence/(1 + n (μr − 1)), T.

        n is the demagnetizing factor of the magnet's shape; with a steel plate behind it (`backed`), of the magnet
        together with its image, a disc of twice the thickness.
        """
        thickness = self.thickness * (2 if backed else 1)
        n = disc_demagnetizing_factor(self.diameter, thickness)
        return self.warm_remanence / (1 + n * (self.recoil_permeability - 1))

    @property
    def warm_remanence(self) -> float:
        """Remanence in T at the magnet's temperature, by its grade's reversible coefficient."""
        return self.remanence * (1 + self.material.remanence_coefficient * (self.temperature - 20.0))

    @property
    def volume(self) -> float:
        """m³."""
        return pi / 4 * self.diameter**2 * self.thickness

    @property
    def mass(self) -> float:
        """kg, with the density of the grade (neodymium when no grade is given and the remanence is above 0.6 T)."""
        return self.volume * self.material.density

    @property
    def material(self) -> Grade:
        """The grade's row; without a grade N42's above 0.6 T, else C5's: only for density and temperature."""
        row = GRADES.get(self.grade) if self.grade else None
        return row or (GRADES["N42"] if self.remanence > 0.6 else GRADES["C5"])
