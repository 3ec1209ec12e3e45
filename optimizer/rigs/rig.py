"""The rig around a generator: mechanism, mover, gears, flywheel, bearings, and what is to be charged."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, prod, sqrt

from geometry.files.checks import require_positive
from optimizer.circuit.loads import Load
from optimizer.rigs.mechanisms import Mechanism
from optimizer.rigs.operator import Operator


@dataclass(frozen=True, slots=True)
class Material:
    """Density in kg/m³, strength in Pa (yield, or tension where brittle), Poisson's ratio: common, no source."""

    density: float
    strength: float
    poisson: float


MATERIALS = {
    "steel": Material(7850, 235e6, 0.30),
    "cast-iron": Material(7200, 150e6, 0.26),
    "aluminium": Material(2700, 100e6, 0.33),
    "brass": Material(8500, 120e6, 0.34),
    "plywood": Material(650, 25e6, 0.30),
    "plastic": Material(1240, 30e6, 0.35),
    "concrete": Material(2300, 2e6, 0.20),
}
SHAPES = ("disc", "ring")

# friction of bearings: SKF, Rolling Bearings (catalogue), constant coefficients for the estimate M = 0.5 μ P d
BEARINGS = {
    "none": 0.0,
    "deep-groove": 0.0015,
    "self-aligning": 0.0010,
    "angular-contact": 0.0020,
    "thrust-ball": 0.0013,
    "cylindrical-thrust": 0.0050,
}


SEALS = ("contact", "shields", "none")
SEALED = "deep-groove"  # the only kind that is sold with seals as a rule
PER_SHAFT = 2  # bearings
# friction of the two contact seals of a deep groove ball bearing, N·mm with their lips' diameter in mm: K1 ds^beta + K2
# with the constants of seal RSH (SKF, Rolling Bearings, catalogue, frictional moment of seals; from memory). It makes
# 7.7 N·mm of a 608. Shields do not rub. The lips run on the inner ring's shoulder, about 4/3 of the bore (7.7 ± 1 N·mm
# for the 9.5 to 11 mm of a 608). Grease, cold and running in move all of it by a factor of two.
K1, BETA, K2, SHOULDER = 0.028, 2.25, 2.0, 4 / 3
UNCERTAINTY = 2.0  # of the friction of bearings and seals, a factor both ways


@dataclass(frozen=True, slots=True, kw_only=True)
class GearStage:
    """A pair of wheels. efficiency: of one mesh, 0.97 to 0.98 for spur gears (common practice, no source)."""

    driver_teeth: int
    driven_teeth: int
    efficiency: float = 0.97

    def __post_init__(self) -> None:
        if min(self.driver_teeth, self.driven_teeth) < 1:
            raise ValueError(f"teeth must be at least 1, were {self.driver_teeth} and {self.driven_teeth}")
        if not 0 < self.efficiency <= 1:
            raise ValueError(f"efficiency must be above 0 and at most 1, was {self.efficiency:g}")

    @property
    def ratio(self) -> float:
        """Speed of the driven wheel over that of the driver."""
        return self.driver_teeth / self.driven_teeth


@dataclass(frozen=True, slots=True, kw_only=True)
class Flywheel:
    """A flywheel, by inertia in kg m² or by mass in kg and shape.

    outer_diameter, inner_diameter: m; the inner one of a ring only. after_stage: how many gear stages drive it,
    None for all of them: it then sits on the rotor's shaft.
    """

    inertia_given: float | None = None
    mass: float | None = None
    shape: str = "disc"
    outer_diameter: float | None = None
    inner_diameter: float | None = None
    material: str = "steel"
    after_stage: int | None = None

    def __post_init__(self) -> None:
        require_positive(self, "inertia_given", "mass", "outer_diameter", "inner_diameter")
        if self.inertia_given is None and (self.mass is None or self.outer_diameter is None):
            raise ValueError("inertia_given, or mass and outer_diameter, must be given")
        if self.shape not in SHAPES or self.material not in MATERIALS:
            raise ValueError(f"no such shape or material: {self.shape}, {self.material}")

    @property
    def inertia(self) -> float:
        """kg m²: as given, or m (R² + r²)/2."""
        if self.inertia_given is not None:
            return self.inertia_given
        assert self.mass is not None
        assert self.outer_diameter is not None
        inner = (self.inner_diameter or 0.0) if self.shape == "ring" else 0.0
        return self.mass * (self.outer_diameter**2 + inner**2) / 8

    @property
    def burst_speed(self) -> float:
        """rad/s at which hoop stress at the hole reaches the material's strength; infinite where its size is not known.

        A disc counts as having a small hole for its shaft, which doubles the stress of a solid one.
        """
        if self.outer_diameter is None:
            return inf
        from optimizer.evaluation.retention import hoop_stress

        row = MATERIALS[self.material]
        inner = (self.inner_diameter or 0.0) / 2 if self.shape == "ring" else 0.0
        return sqrt(row.strength / hoop_stress(row.density, 1.0, inner, self.outer_diameter / 2, row.poisson))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearings:
    """The two bearings of a shaft. bore: m. load: N on both, None for the weight of what turns.

    seals: None for those of the kind as it is bought, contact seals of deep groove ball bearings. seal_torque: of a
    whole shaft, constant, N m; None for that of the seals.
    """

    kind: str = SEALED
    bore: float = 0.008
    load: float | None = None
    seals: str | None = None
    seal_torque: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in BEARINGS:
            raise ValueError(f"kind must be one of {', '.join(BEARINGS)}, was {self.kind}")
        if self.seals not in (None, *SEALS):
            raise ValueError(f"seals must be one of {', '.join(SEALS)}, was {self.seals}")
        if not self.bore > 0 or min(self.seal_torque or 0.0, self.load or 0.0) < 0:
            raise ValueError("bore must be above zero, load and seal_torque not below")

    @property
    def rubbing(self) -> float:
        """Torque of the seals of a whole shaft, N m."""
        if self.seal_torque is not None:
            return self.seal_torque
        seals = self.seals or ("contact" if self.kind == SEALED else "none")
        return PER_SHAFT * contact_seal_torque(self.bore) if seals == "contact" else 0.0


def contact_seal_torque(bore: float) -> float:
    """N m of both seals of a bearing with a `bore` in m."""
    return 1e-3 * (K1 * (1e3 * SHOULDER * bore) ** BETA + K2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """What the machine is for. volts: least useful direct voltage. energy: Wh, or capacity_mAh at `volts`, or neither.

    efficiency: share of the energy put in that a cell keeps (0.85: common practice, no source).
    """

    volts: float
    energy_wh: float | None = None
    capacity_mah: float | None = None
    efficiency: float = 0.85

    @property
    def needed(self) -> float | None:
        """Energy to be put in, J; None when none is asked."""
        stored = self.energy_wh if self.capacity_mah is None else self.capacity_mah * 1e-3 * self.volts
        return None if stored is None else stored * 3600 / self.efficiency


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """All that turns a generator, and what it usually feeds (`load`, or None).

    Raises ValueError for a flywheel after more gear stages than there are.
    """

    title: str
    mechanism: Mechanism
    operator: Operator
    gears: tuple[GearStage, ...] = ()
    flywheel: Flywheel | None = None
    bearings: Bearings = Bearings()
    charge: Charge | None = None
    load: Load | None = None

    def __post_init__(self) -> None:
        wheel = self.flywheel
        if (
            wheel is not None
            and wheel.after_stage is not None
            and not 0 <= wheel.after_stage <= len(self.gears)
        ):
            raise ValueError(f"after_stage must be from 0 to {len(self.gears)}, was {wheel.after_stage}")

    @property
    def split(self) -> int:
        """How many stages lie before the flywheel; all, without one."""
        after = self.flywheel.after_stage if self.flywheel else None
        return len(self.gears) if after is None else after


def gear_train(stages: tuple[GearStage, ...]) -> tuple[float, float]:
    """Ratio (speed out over speed in) and efficiency of stages in a row; 1 and 1 for none."""
    return prod(stage.ratio for stage in stages), prod(stage.efficiency for stage in stages)


@dataclass(frozen=True, slots=True, kw_only=True)
class Geared:
    """What has gears of its own. gears: from the hand's side on."""

    gears: tuple[GearStage, ...] = ()

    @property
    def step_up(self) -> float:
        """Turns behind all gears for one ahead of them."""
        return gear_train(self.gears)[0]

    @property
    def gear_efficiency(self) -> float:
        """Of all pairs together."""
        return gear_train(self.gears)[1]
