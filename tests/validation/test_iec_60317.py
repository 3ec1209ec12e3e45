"""Enamelled round copper wire.

IEC 60317-0-1, Specifications for particular types of winding wires, part 0-1: general requirements,
enamelled round copper wire; table 1 (dimensions) from 0.315 mm up in its identical national adoption
(2022), the smaller sizes as reproduced by makers; resistances as in DIN EN 60317-0-1. Nominal resistances
from 0.200 mm up are from memory; each equals (1/58.5 Ω mm²/m)/(π d²/4) to the printed digits, as the read
ones do. From 1.120 mm up: 1.120, 1.250, 1.600 and 2.000 mm as read in a national standard of the same text; the rest of
those, and all below 0.100 mm, from memory. Sizes between the table's: the rule of its intermediate sizes, from memory,
checked against rows recalled from annex A.
"""

import pytest

from geometry.stock.wire import BARE_TOLERANCE_MM, ENAMELLED_WIRE_MM, Wire

# bare diameter: smallest increase grade 1, 2; largest overall diameter grade 1, 2; mm
TABLE_1 = {
    0.050: (0.005, 0.010, 0.060, 0.066),
    0.056: (0.006, 0.011, 0.067, 0.074),
    0.063: (0.006, 0.012, 0.076, 0.083),
    0.071: (0.007, 0.012, 0.084, 0.091),
    0.080: (0.007, 0.014, 0.094, 0.101),
    0.090: (0.008, 0.015, 0.105, 0.113),
    0.100: (0.008, 0.016, 0.117, 0.125),
    0.112: (0.009, 0.017, 0.130, 0.139),
    0.125: (0.010, 0.019, 0.144, 0.154),
    0.140: (0.011, 0.021, 0.160, 0.171),
    0.160: (0.012, 0.023, 0.182, 0.194),
    0.180: (0.013, 0.025, 0.204, 0.217),
    0.200: (0.014, 0.027, 0.226, 0.239),
    0.224: (0.015, 0.029, 0.252, 0.266),
    0.250: (0.017, 0.032, 0.281, 0.297),
    0.280: (0.018, 0.033, 0.312, 0.329),
    0.315: (0.019, 0.035, 0.349, 0.367),
    0.355: (0.020, 0.038, 0.392, 0.411),
    0.400: (0.021, 0.040, 0.439, 0.459),
    0.450: (0.022, 0.042, 0.491, 0.513),
    0.500: (0.024, 0.045, 0.544, 0.566),
    0.560: (0.025, 0.047, 0.606, 0.630),
    0.630: (0.027, 0.050, 0.679, 0.704),
    0.710: (0.028, 0.053, 0.762, 0.789),
    0.800: (0.030, 0.056, 0.855, 0.884),
    0.900: (0.032, 0.060, 0.959, 0.989),
    1.000: (0.034, 0.063, 1.062, 1.094),
    1.120: (0.034, 0.065, 1.184, 1.217),
    1.250: (0.035, 0.067, 1.316, 1.349),
    1.400: (0.036, 0.069, 1.468, 1.502),
    1.600: (0.038, 0.071, 1.670, 1.706),
    1.800: (0.039, 0.073, 1.872, 1.909),
    2.000: (0.040, 0.075, 2.074, 2.112),
    2.240: (0.041, 0.077, 2.316, 2.355),
    2.500: (0.042, 0.079, 2.578, 2.618),
    2.800: (0.043, 0.081, 2.880, 2.922),
    3.150: (0.045, 0.084, 3.233, 3.276),
}
INTERMEDIATE = {0.425: (0.466, 0.488), 0.475: (0.519, 0.541)}  # largest overall diameter, grade 1 and 2
BARE_TOLERANCE = {
    0.315: 0.004,
    0.355: 0.004,
    0.400: 0.005,
    0.450: 0.005,
    0.500: 0.005,
    0.560: 0.006,
    0.630: 0.006,
    0.710: 0.007,
    0.800: 0.008,
    0.900: 0.009,
    1.000: 0.010,
}
# mΩ/m at 20 °C as many digits as printed
NOMINAL = {
    0.100: "2176",
    0.112: "1735",
    0.200: "544.1",
    0.250: "348.2",
    0.315: "219.3",
    0.355: "172.7",
    0.400: "136.0",
    0.450: "107.5",
    0.500: "87.06",
    0.560: "69.40",
    0.630: "54.84",
    0.710: "43.18",
    0.800: "34.01",
    0.900: "26.87",
    1.000: "21.76",
}
LIMITS = {
    0.071: (3.941, 4.747),
    0.080: (3.133, 3.703),
    0.090: (2.495, 2.900),
    0.100: (2.034, 2.333),
    0.112: (1.632, 1.848),
    0.500: (0.08462, 0.08959),
}  # Ω/m; 0.500 mm and below 0.100 mm from memory


def wire(diameter_mm: float, grade: int = 1) -> Wire:
    """By the diameter in mm."""
    return Wire(diameter=diameter_mm * 1e-3, grade=grade)


def test_table_1_has_the_same_sizes():
    assert list(ENAMELLED_WIRE_MM) == list(TABLE_1)


SIZES = [size for size in TABLE_1 if size <= 3]


@pytest.mark.parametrize("diameter_mm", INTERMEDIATE)
def test_a_size_between_has_the_enamel_of_the_next_larger_one(diameter_mm: float):
    assert [wire(diameter_mm, grade).overall_diameter * 1e3 for grade in (1, 2)] == pytest.approx(
        INTERMEDIATE[diameter_mm], rel=1e-12
    )


@pytest.mark.parametrize("diameter_mm", SIZES)
def test_table_1_dimensions(diameter_mm: float):
    assert ENAMELLED_WIRE_MM[diameter_mm] == TABLE_1[diameter_mm]
    assert [wire(diameter_mm, grade).overall_diameter * 1e3 for grade in (1, 2)] == pytest.approx(
        TABLE_1[diameter_mm][2:], rel=1e-12
    )


@pytest.mark.parametrize("diameter_mm", BARE_TOLERANCE)
def test_table_1_tolerance_of_the_bare_wire(diameter_mm: float):
    assert BARE_TOLERANCE_MM[diameter_mm] == BARE_TOLERANCE[diameter_mm]


@pytest.mark.parametrize("diameter_mm", NOMINAL)
def test_nominal_resistance(diameter_mm: float):
    printed = NOMINAL[diameter_mm]
    digit = 10.0 ** -(len(printed.partition(".")[2]))
    assert wire(diameter_mm).resistance_per_metre * 1e3 == pytest.approx(float(printed), abs=0.51 * digit)


@pytest.mark.parametrize("diameter_mm", LIMITS)
def test_resistance_limits(diameter_mm: float):
    # 0.1 %: the limits follow from rounded tolerances of diameter and conductivity; below 0.1 mm they are the coarser
    near = 1e-3 if diameter_mm >= 0.1 else 0.02
    assert wire(diameter_mm).resistance_band == pytest.approx(LIMITS[diameter_mm], rel=near)


@pytest.mark.parametrize("diameter_mm", SIZES)
def test_nominal_resistance_lies_between_the_limits(diameter_mm: float):
    low, high = wire(diameter_mm).resistance_band
    assert low < wire(diameter_mm).resistance_per_metre < high
