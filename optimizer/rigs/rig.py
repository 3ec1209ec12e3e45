"""The rig around a generator: mechanism, operator, gears, flywheel, bearings, and what is to be charged."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, prod, sqrt

from geometry.files.key_tables import choice, quantity, whole
from geometry.files.schema import keyed, require_keyed
from optimizer.circuit.loads import Load
from optimizer.rigs.mechanisms import LENGTH, SHARE, Mechanism
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
TEETH = whole(minimum=1, maximum=10_000)
WEIGHT = quantity(positive=True, maximum="1000")  # of a flywheel: kg, or kg m²

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
    """A pair of wheels. efficiency: share, of one mesh, 0.97 to 0.98 for spur gears (common practice, no source)."""

    driver_teeth: int = keyed(
        "driver_teeth", TEETH, "of the wheel on the hand's side", "Teeth of the driver", example="60"
    )
    driven_teeth: int = keyed(
        "driven_teeth", TEETH, "of the wheel on the rotor's side", "Teeth of the driven", example="12"
    )
    efficiency: float = keyed("efficiency", SHARE, "of the mesh", default=0.97, example="0.97")

    def __post_init__(self) -> None:
        require_keyed(self)

    @property
    def ratio(self) -> float:
        """Ratio of the speed of the driven wheel to that of the driver."""
        return self.driver_teeth / self.driven_teeth


@dataclass(frozen=True, slots=True, kw_only=True)
class Flywheel:
    """A flywheel, by inertia or by mass and shape, in SI units. after_stage: None sits on the rotor's shaft."""

    inertia_given: float | None = keyed(
        "inertia_kg_m2", WEIGHT, "or `mass_kg`, shape and sizes in its place", "Inertia", default=None,
        usual="this or `mass_kg`", comment="or mass_kg, shape and sizes in its place",
    )  # fmt: skip
    mass: float | None = keyed(
        "mass_kg", WEIGHT, "with its sizes", default=None, usual="this or `inertia_kg_m2`", comment=""
    )
    shape: str = keyed("shape", choice(SHAPES), "of the wheel", default=SHAPES[0], comment=" or ".join(SHAPES))
    outer_diameter: float | None = keyed(
        "outer_diameter_mm", LENGTH, "of the wheel", default=None, usual="required with `mass_kg`", comment=""
    )
    inner_diameter: float | None = keyed(
        "inner_diameter_mm", LENGTH, "of a ring", "Inner diameter, of a ring", default=None,
        usual="required for a ring",
    )  # fmt: skip
    material: str = keyed("material", choice(MATERIALS), "for its strength", default="steel")
    after_stage: int | None = keyed(
        "after_stage", whole(minimum=0, maximum=100), "gear stages that drive it", default=None, usual="all",
        comment="gear stages that drive it; left out: all",
    )  # fmt: skip

    def __post_init__(self) -> None:
        require_keyed(self)
        if self.inertia_given is None and (self.mass is None or self.outer_diameter is None):
            raise ValueError("inertia_given, or mass and outer_diameter, must be given")

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
    """The two bearings of a shaft, in SI units; load: on both."""

    kind: str = keyed("kind", choice(BEARINGS), "of all bearings", default=SEALED, comment="")
    bore: float = keyed(
        "bore_mm", quantity(minimum="0.1", maximum="500", milli=True), "of each shaft", "Bore of the shaft",
        default=0.008,
    )  # fmt: skip
    load: float | None = keyed(
        "load_N", quantity(minimum="0", maximum="100000"), "that they carry", default=None,
        usual="the weight of what turns", comment="left out: the weight of what turns",
    )  # fmt: skip
    seals: str | None = keyed(
        "seals", choice(SEALS), "of deep-groove bearings", default=None, usual='`"contact"`, as bought',
        comment=f"{', '.join(SEALS)}; left out: as bought",
    )  # fmt: skip
    seal_torque: float | None = keyed(
        "seal_torque_Nm", quantity(minimum="0", maximum="100"),
        "of a whole shaft, in place of `seals` (of two sealed 608: 0.015)", "Or torque of all seals of a shaft",
        default=None, usual="that of the seals", unless="seals",
        comment="of a whole shaft; left out: that of the seals",
    )  # fmt: skip

    def __post_init__(self) -> None:
        require_keyed(self)

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
    """What the machine is for: an energy to be stored in Wh, or a charge in mAh, or neither.

    volts: V. efficiency: 0.85 is common practice, no source.
    """

    volts: float = keyed(
        "volts", quantity(positive=True, maximum="1000"), "least direct voltage that is of use", "Least volts of use",
        unit="V",
    )  # fmt: skip
    energy_wh: float | None = keyed(
        "energy_Wh", quantity(positive=True, maximum="100000"), "to be stored; or `capacity_mAh`", default=None,
        comment="to be stored",
    )  # fmt: skip
    capacity_mah: float | None = keyed(
        "capacity_mAh", quantity(positive=True, maximum="10000000"), "to be stored, at these volts", default=None,
        unless="energy_wh",
    )  # fmt: skip
    efficiency: float = keyed("efficiency", SHARE, "share of the energy put in that a cell keeps", default=0.85)

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
        """Ratio of the turns behind all gears to those ahead of them."""
        return gear_train(self.gears)[0]

    @property
    def gear_efficiency(self) -> float:
        """Of all pairs together, a share."""
        return gear_train(self.gears)[1]
