"""What turning asks of the carrier: the pull of each magnet on wall and glue, hoop stress, stored energy.

Nothing here is a proof of strength. Margins are strength over stress at the overspeed, strengths as assumed
below (common practice, no source; printed plastic varies with layers, filling and age).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from geometry.machine.layout import Layout
from geometry.parts.pockets import (
    PrintOptions,
    annulus_area,
    pocket_area,
    pocket_depth,
    pocket_floor,
    pocket_walls,
)

OVERSPEED = 2.0  # times the speed of the layout; a hand-turned machine can run away when its load falls off
PLASTIC_DENSITY = 1240.0  # kg/m³, PLA, as its makers state
PLASTIC_STRENGTH = 30e6  # Pa in tension along the layers, printed solid; low end of 30 to 50 MPa for plastics
PLASTIC_POISSON = 0.35  # PLA; common value
WALL_CONCENTRATION = 3.0  # stress at the edge of a hole over the mean beside it; plate with a round hole
GLUE_STRENGTH = 5e6  # Pa in shear, epoxy on a roughened print and a nickel-plated face
STEEL_DENSITY = 7850.0  # kg/m³, mild steel
THINNEST_WALL = 1e-5  # m; where the clearance eats the wall, what is left counts as this
ENOUGH = 4.0  # margin at the overspeed that leaves room for what the assumptions miss; common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """Loads at the overspeed, SI; margins are strength over stress.

    force_at_speed: outward pull of one magnet in N at the layout's own speed. force: at the overspeed.
    wall: thinnest wall outward of a pocket, m. wall_stress: at the edge of the pocket, were the wall alone to
    hold. glue_stress: mean shear on the magnet's back, were the glue alone to hold. hoop_stress: at the
    carrier's bore, its steel left out. carriers: how many turn. carrier_mass: of all that turns, kg, steel_mass of it
    in plates. energy: in all that turns at its own speed, J. rim_speed: likewise, m/s.
    """

    speed_rpm: float
    overspeed: float
    magnet_mass: float
    carriers: int
    carrier_mass: float
    steel_mass: float
    force_at_speed: float
    force: float
    wall: float
    wall_stress: float
    wall_margin: float
    glue_stress: float
    glue_margin: float
    hoop_stress: float
    hoop_margin: float
    energy: float
    rim_speed: float

    @property
    def min_margin(self) -> float:
        """The least ratio of strength to stress, of wall, glue and hoop stress."""
        return min(self.wall_margin, self.glue_margin, self.hoop_margin)

    @property
    def seam_margin(self) -> float:
        """Of a carrier glued from pieces: ratio of the glue's strength to the hoop stress at the bore."""
        return GLUE_STRENGTH / self.hoop_stress

    @property
    def asked_margin(self) -> float:
        """The least margin that is enough, a ratio."""
        return ENOUGH

    @property
    def plastic_strength_MPa(self) -> float:  # noqa: N802
        """Strength taken for the print, MPa."""
        return PLASTIC_STRENGTH * 1e-6

    @property
    def glue_strength_MPa(self) -> float:  # noqa: N802
        """Strength taken for the glue in shear, MPa."""
        return GLUE_STRENGTH * 1e-6

    @property
    def top_speed_rpm(self) -> float:
        """Speed in rpm at which the least margin has come down to what is asked: stress grows as speed squared."""
        return self.speed_rpm * self.overspeed * (self.min_margin / ENOUGH) ** 0.5

    @property
    def burst_rpm(self) -> float:
        """Speed in rpm at which the least margin is used up."""
        return self.speed_rpm * self.overspeed * self.min_margin**0.5

    @property
    def enough(self) -> bool:
        """Whether every margin leaves room for what the assumptions miss."""
        return self.min_margin >= ENOUGH


def retention(layout: Layout, options: PrintOptions | None = None) -> Retention:
    """Loads and margins of a layout's printed carrier."""
    options = options or PrintOptions()
    magnet, pitch = layout.carrier.magnet, layout.carrier.pitch_radius
    speed = layout.angular_speed
    fast = speed * OVERSPEED
    force = centrifugal_force(magnet.mass, pitch, fast)
    plastic = _plastic_volume(layout, options)
    wall = max(pocket_walls(layout, options.pocket_clearance)["the rim"], THINNEST_WALL)
    wall_stress = WALL_CONCENTRATION * force / (2 * wall * magnet.thickness)
    glue_stress = force / magnet.area
    hoop = _carrier_hoop_stress(layout, plastic, fast)
    return Retention(
        speed_rpm=layout.speed_rpm,
        overspeed=OVERSPEED,
        magnet_mass=magnet.mass,
        carriers=layout.carrier.carriers,
        carrier_mass=layout.carrier.carriers
        * (plastic * PLASTIC_DENSITY + layout.carrier.count * magnet.mass + plate_mass(layout)),
        steel_mass=layout.carrier.carriers * plate_mass(layout),
        force_at_speed=centrifugal_force(magnet.mass, pitch, speed),
        force=force,
        wall=wall,
        wall_stress=wall_stress,
        wall_margin=PLASTIC_STRENGTH / wall_stress,
        glue_stress=glue_stress,
        glue_margin=GLUE_STRENGTH / glue_stress,
        hoop_stress=hoop,
        hoop_margin=PLASTIC_STRENGTH / hoop,
        energy=carrier_inertia(layout, options) * speed**2 / 2,
        rim_speed=speed * layout.space.outer_radius,
    )


def centrifugal_force(mass: float, radius: float, speed: float) -> float:
    """m ω² r in N; mass in kg, radius in m, speed in rad/s."""
    return mass * speed**2 * radius


def hoop_stress(density: float, speed: float, bore: float, rim: float, poisson: float) -> float:
    """Largest hoop stress in Pa of a flat disc with a hole, at the hole's edge.

    (3 + ν)/4 · ρ ω² (b² + (1 − ν)/(3 + ν) a²), a the hole's and b the rim's radius in m, ω in rad/s.
    Source: Timoshenko and Goodier, Theory of Elasticity, rotating discs (from memory).
    """
    return (3 + poisson) / 4 * density * speed**2 * (rim**2 + (1 - poisson) / (3 + poisson) * bore**2)


def disc_inertia(density: float, bore: float, rim: float, height: float) -> float:
    """Moment of inertia in kg m² about the axis of a flat disc with a hole."""
    return density * height * pi / 2 * (rim**4 - bore**4)


def carrier_inertia(layout: Layout, options: PrintOptions) -> float:
    """Moment of inertia in kg m² of all carriers with magnets, covers and steel; letters are left out."""
    space, carrier, magnet = layout.space, layout.carrier, layout.carrier.magnet
    depth = pocket_depth(layout)
    height = pocket_floor(layout, options) + depth + options.cover
    plain = disc_inertia(PLASTIC_DENSITY, space.bore_radius, space.outer_radius, height)
    hole = pocket_area(layout, options.pocket_clearance)
    about_shaft = magnet.gyration_square(carrier.pitch_radius)
    grown = hole / pocket_area(layout, 0.0)  # a pocket is its magnet a little larger
    pocket_square = carrier.pitch_radius**2 + (about_shaft - carrier.pitch_radius**2) * grown
    taken_out = PLASTIC_DENSITY * hole * depth
    put_in = magnet.mass * about_shaft
    steel = disc_inertia(STEEL_DENSITY, space.bore_radius, space.outer_radius, carrier.plate)
    return carrier.carriers * (plain + steel + carrier.count * (put_in - taken_out * pocket_square))


def _plastic_volume(layout: Layout, options: PrintOptions) -> float:
    """Plastic of one carrier without its cover, m³; letters are left out."""
    space, depth = layout.space, pocket_depth(layout)
    plain = annulus_area(space.bore_radius, space.outer_radius) * (pocket_floor(layout, options) + depth)
    return plain - layout.carrier.count * pocket_area(layout, options.pocket_clearance) * depth


def plate_mass(layout: Layout) -> float:
    """Mass in kg of one steel plate; 0 without."""
    space = layout.space
    return annulus_area(space.bore_radius, space.outer_radius) * layout.carrier.plate * STEEL_DENSITY


def _carrier_hoop_stress(layout: Layout, plastic: float, speed: float) -> float:
    """As of a plain disc of the carrier's own plastic (m³) that carries the magnets' mass as well."""
    density = PLASTIC_DENSITY + layout.carrier.count * layout.carrier.magnet.mass / plastic
    return hoop_stress(density, speed, layout.space.bore_radius, layout.space.outer_radius, PLASTIC_POISSON)
