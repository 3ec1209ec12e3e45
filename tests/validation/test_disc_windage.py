"""A disc turning in still air: Schlichting, Boundary-Layer Theory (from memory): moment coefficient of both faces 3.87
over the root of Reynolds' number while the flow is laminar, 0.146 Re^−1/5 when turbulent; M = ½ C ρ ω² R⁵."""

import numpy as np
import pytest

from optimizer.rigs.drivetrain import AIR_DENSITY, AIR_VISCOSITY, air_torque


def _coefficient(radius: float, reynolds: float) -> float:
    speed = reynolds * AIR_VISCOSITY / radius**2
    return float(air_torque(radius, np.array([speed]))[0] / (0.5 * AIR_DENSITY * speed**2 * radius**5))


def test_laminar():
    assert _coefficient(0.05, 1e4) == pytest.approx(0.0387, rel=1e-3)


def test_turbulent():
    assert _coefficient(0.1, 1e6) == pytest.approx(0.146 * 1e6**-0.2, rel=1e-9)


def test_at_rest_and_without_a_disc():
    assert air_torque(0.1, np.zeros(1))[0] == 0
    assert air_torque(0.0, np.array([100.0]))[0] == 0
