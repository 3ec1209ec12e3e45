"""Magnet grades of the trade with their least guaranteed remanence.

Sintered neodymium: the least of the minimum remanences in three makers' published data sheets (makers differ
by up to 3 %). Ferrite C5 and C8: MMPA Standard 0100-00, table III-1; Y30 and Y35: the least value of the
trade's common table. Recoil permeability: 1.05 for neodymium (makers' sheets), 1.1 for ferrite (MMPA gives
1.05 to 1.2). Densities: MMPA 0100-00, tables III and IV (7.4 and 4.9 g/cm³).
Reversible temperature coefficient of remanence: -0.12 %/K for neodymium (makers' sheets; MMPA gives -0.09),
-0.20 %/K for ferrite (MMPA table III-2).
"""

from __future__ import annotations

from dataclasses import dataclass

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
        _ferrite("C5", 0.380, MMPA),
        _ferrite("C8", 0.385, MMPA),
        _ferrite("Y30", 0.380, TRADE),
        _ferrite("Y35", 0.400, TRADE),
    )
}
