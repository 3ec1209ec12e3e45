"""The EMF of one layout: pole harmonics of the field, linked by every turn of the bundle.

How hard two facing carriers pull at each other comes from the same field. Halfway between unlike poles that face each
other the field is along the shaft, so Maxwell's stress gives the whole pull: F = ∫ B_z²/(2 μ0) dA over that plane,
steel plates or not. With the pole harmonics b_k(r) that is π/(2 μ0) Σ_k ∫ b_k² r dr. Checked in the tests against
magpylib's force, the energy's slope and the dipoles' limit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from math import log, pi, sqrt

import numpy as np

from geometry.curves.curve import Complex, Real
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout, Stack
from optimizer.field.linkage import half_turn_functional
from optimizer.field.pole_harmonics import MagnetField, magnet_field, odd_orders, pole_harmonics
from optimizer.field.steel import images_share
from optimizer.numerics.quadrature import chebyshev, chebyshev_basis, even_grid, even_weights

OFFSETS = 8  # Chebyshev nodes across the bundle
RETURNED = 0.01  # share of a full-pitch leg's EMF that its ends may lose to the field beside the magnets
SAMPLES = 1440  # of the waveform over one electrical period
MU0 = 4e-7 * pi  # H/m
SIDEWAYS = 3.0  # how far the plane reaches beyond the magnets, in pole pitches: there the field has died away


@dataclass(frozen=True, slots=True)
class Waveform:
    """Open-circuit EMF, e(θ) = Σ amplitudes[i] sin(orders[i] p θ + angles[i]), V; all arrays (K,), orders odd.

    Angles are zero for a phase that is symmetric about a magnet's axis, as one phase always is.
    """

    orders: Real
    amplitudes: Real
    angles: Real = field(default_factory=lambda: np.zeros(1))

    @property
    def rms(self) -> float:
        """V."""
        return float(sqrt(0.5 * np.sum(self.amplitudes**2)))

    def at(self, electrical_angle: Real) -> Real:
        """Volts at electrical angles p θ in rad, of the angles' shape: any shape."""
        return np.sin(np.multiply.outer(electrical_angle, self.orders) + self.angles) @ self.amplitudes

    @property
    def peak(self) -> float:
        """V."""
        return float(np.abs(self.at(np.linspace(0, np.pi, SAMPLES // 2 + 1))).max())

    @property
    def distortion(self) -> float:
        """Ratio of the harmonics' RMS to the fundamental's."""
        return float(np.linalg.norm(self.amplitudes[1:]) / abs(self.amplitudes[0]))


def height_nodes(air_gap: float, height: float) -> Real:
    """Heights in m at which the field is taken, (L,): Chebyshev nodes over the bundle, as many as the gap calls for.

    The field is singular at the magnet faces only, so the interpolation error falls as ρ^−n with the Bernstein
    radius ρ of that point.
    """
    away = 1 + 2 * air_gap / height
    bernstein = away + sqrt(away**2 - 1)
    count = int(np.clip(np.ceil(log(1e4) / log(bernstein)), 4, 14))
    return air_gap + height * (chebyshev(count) + 1) / 2


def machine_field(layout: Layout, heights: Real, reach: float, images: float | None = None) -> MagnetField:
    """B_z of one of its magnets with all images at `heights` (Z,), m, out to `reach` (m) from the magnet's middle.

    images: share of the plates' images in place of that which its plates leave.
    """
    stack = layout.stack(images_share(layout) if images is None else images)
    return magnet_field(layout.carrier.magnet, heights, reach, stack)


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineEmf:
    """The open-circuit EMF of one machine, from one field that is linked once.

    images: share of the steel plates' images that is there, 0 without plates. phases: EMF of each phase, all its coils
    in series. coils: EMF of one coil of each phase, about its own axis.
    winding_factor: distribution and pitch of the actual turns, their fundamental EMF over that of straight full-pitch
    legs. The reference is as many radial filaments, over the same radii and at the same heights, half a pole pitch off
    a magnet's axis, all in phase: what a handbook's factor of 1 stands for. None where these give less than the actual
    turns: beside the magnets the field turns round, and legs that reach there lose from what they have gathered. Up to
    `RETURNED` of that, as where turns round off their corners, still counts as 1.
    """

    layout: Layout
    images: float
    phases: tuple[Waveform, ...]
    coils: tuple[Waveform, ...]
    winding_factor: float | None

    @property
    def lines(self) -> tuple[Waveform, ...]:
        """The EMFs between the pairs of terminals AB, BC and CA; of one phase its own.

        In star the difference of two phases. In delta a phase's without what the three have in common: that runs
        around the delta and never shows outside.
        """
        if self.layout.phases == 1:
            return self.phases
        phasors = np.array([wave.amplitudes * np.exp(1j * wave.angles) for wave in self.phases])
        star = self.layout.winding.connection == "star"
        lines = phasors - (np.roll(phasors, -1, axis=0) if star else phasors.mean(axis=0))
        return tuple(Waveform(self.phases[0].orders, np.abs(line), np.angle(line)) for line in lines)


@lru_cache(maxsize=64)
def machine_emf(layout: Layout, images: float | None = None) -> MachineEmf:
    """The EMF of every phase and coil, from all turns, spread over the bundle's section.

    images: share of the steel plates' images, in place of that which the plates leave.
    """
    images = images_share(layout) if images is None else images
    orders, seen = _seen(layout, images)
    turns = [_amplitudes(layout, seen, phase) for phase in range(layout.phases)]
    phasors = [each * _coil_phasors(layout, orders, phase) for phase, each in enumerate(turns)]
    return MachineEmf(
        layout=layout,
        images=images,
        phases=tuple(_wave(orders, each) for each in phasors),
        coils=tuple(Waveform(orders, each * _half_turns(layout)) for each in turns),
        winding_factor=_factor(layout, seen, abs(phasors[0][0])),
    )


def waveform(layout: Layout, phase: int = 0) -> Waveform:
    """The open-circuit EMF of one phase, as `machine_emf` gives it, without the others."""
    orders, seen = _seen(layout, images_share(layout))
    return _wave(orders, _amplitudes(layout, seen, phase) * _coil_phasors(layout, orders, phase))


def _seen(layout: Layout, images: float) -> tuple[Real, _Seen]:
    """The orders of a layout's EMF, (K,), and what its winding sees by them."""
    orders = odd_orders(layout.carrier.count, layout.winding.outer_radius, layout.air_gap)
    return orders, _Seen.of(layout, orders, layout.stack(images))


def _wave(orders: Real, phasors: Complex) -> Waveform:
    real = np.max(np.abs(phasors.imag)) <= 1e-12 * np.max(np.abs(phasors))
    if real:
        return Waveform(orders, phasors.real)
    return Waveform(orders, np.abs(phasors), np.angle(phasors))


def _factor(layout: Layout, seen: _Seen, fundamental: float) -> float | None:
    """The winding factor, from the size of the fundamental EMF of the first phase, V."""
    turns = _turns_at_nodes(layout, seen.profile, 0).sum(axis=0)
    full = seen.harmonics[0] @ (seen.grid * even_weights(seen.grid)) @ turns
    legs = len(layout.order.members[0]) * _half_turns(layout)
    maximum = float(layout.angular_speed * legs * full)
    actual = float(fundamental / layout.sides)
    return min(actual / maximum, 1.0) if 0 < actual <= (1 + RETURNED) * maximum else None


def magnet_emf(layout: Layout, phase: int = 0) -> tuple[Real, Real]:
    """What one magnet of the first carrier drives in one coil of a phase, when it stands alone: an EMF over a whole
    turn of the disc, e(θ) = Σ e_n sin(n θ) about the coil's axis, V; its orders n (M,) and e_n (M,).
    """
    highest = int(odd_orders(layout.carrier.count, layout.winding.outer_radius, layout.air_gap)[-1])
    highest *= layout.carrier.pole_pairs
    orders = np.arange(1, highest + 1, dtype=float)
    seen = _Seen.of(layout, orders, layout.stack(images_share(layout), lower=True), count=2)
    # a ring of two stands for twice the one magnet in `pole_harmonics`
    return orders, _amplitudes(layout, seen, phase) * _half_turns(layout) / 2


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the winding sees, by order k: radii over it, m, (R,); the field's pole harmonics there, T, (K, heights, R);
    EMF per half turn at the bundle's nodes, V, (K, offsets, heights)."""

    profile: MagnetField
    grid: Real
    harmonics: Real
    linked: Real

    @classmethod
    def of(cls, layout: Layout, orders: Real, stack: Stack, count: int | None = None) -> _Seen:
        """Of a layout, for odd orders; with another `count` of magnets, orders go by half that count."""
        carrier, winding, count = layout.carrier, layout.winding, count or layout.carrier.count
        heights = height_nodes(layout.air_gap, layout.stack_height)
        reach = carrier.pitch_radius + winding.outer_radius
        profile = magnet_field(carrier.magnet, heights, reach, stack)
        grid = even_grid(winding.inner_radius, winding.outer_radius, profile.scale / 2.5)
        harmonics = pole_harmonics(profile, count, carrier.pitch_radius, grid, orders)
        return cls(profile, grid, harmonics, _linked(layout, orders * (count // 2), grid, harmonics))


def _coil_phasors(layout: Layout, orders: Real, phase: int) -> Complex:
    """Sum over a phase's coils of sense · e^(−i k p α), in half turns per coil, (K,)."""
    axes, members = layout.order.axes, layout.order.members[phase]
    angles = np.array([axes[coil] for coil, _ in members])
    senses = np.array([sense for _, sense in members], float)
    turned = np.exp(-1j * np.outer(orders * layout.carrier.pole_pairs, angles))
    return np.asarray(layout.sides * _half_turns(layout) * (turned @ senses), complex)


def _half_turns(layout: Layout) -> float:
    """Half turns in each turn of a coil."""
    return layout.topology.halves(layout.sectors)


def _linked(layout: Layout, poles: Real, grid: Real, harmonics: Real) -> Real:
    """poles: orders of the whole circle, (K,)."""
    offsets = chebyshev(OFFSETS) * layout.winding.width / 2
    rows = half_turn_functional(layout.topology, layout.envelope, offsets, grid, poles)
    speed = layout.angular_speed
    return speed * np.einsum("kur,kzr->kuz", rows, harmonics, optimize=True)


def _amplitudes(layout: Layout, seen: _Seen, phase: int) -> Real:
    """EMF of one half turn after another of one coil, all turns together, V per half turn, (K,)."""
    return np.einsum("kuz,uz->k", seen.linked, _turns_at_nodes(layout, seen.profile, phase))


def _turns_at_nodes(layout: Layout, profile: MagnetField, phase: int) -> Real:
    offsets, levels = phase_turns(layout, phase)
    across = chebyshev_basis(OFFSETS, 2 * offsets / layout.winding.width)
    along = chebyshev_basis(profile.heights.size, 2 * levels / layout.stack_height - 1)
    return across.T @ along


def attraction(layout: Layout) -> float | None:
    """Pull between facing carriers in N, of all magnets together; None where no carriers face each other."""
    carrier = layout.carrier
    if carrier.arrangement != "facing":
        return None
    middle = layout.clear / 2
    nearest, farthest = (float(edge) for edge in carrier.magnet.reach(carrier.pitch_radius))
    beyond = SIDEWAYS * max(pi * carrier.pitch_radius / carrier.pole_pairs / 2, 2 * middle)
    radii = even_grid(max(nearest - beyond, 0.01 * nearest, 1e-4), farthest + beyond, middle / 2.5)
    reach = carrier.pitch_radius + float(radii[-1])
    field = machine_field(layout, np.array([middle]), reach)
    orders = odd_orders(carrier.count, float(radii[-1]), middle)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[:, 0]
    return float(pi / (2 * MU0) * np.trapezoid((harmonics**2).sum(axis=0) * radii, radii))
