"""What a meter shows when one magnet lies the wrong way up: coil by coil, and over a whole phase.

Turning one magnet over takes away twice what it gives. Over a whole turn of the disc a coil's EMF then is that of the
right machine less twice the pulse of one magnet; a phase adds up its coils, each at its own angle. Where there is one
coil per pole, all in series, every magnet gives the same share to the sum: it is lower by two of N at every instant
(with facing carriers by about one), and its half-waves stay equal; so with a serpentine. A coil alone misses half-waves
where the magnets stand close; where they stand apart only the order of its half-waves is another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Complex
from geometry.machine.layout import Layout
from optimizer.field.emf import MachineEmf, magnet_emf

EVEN = 0.02  # of a whole wave; below it nobody sees what differs from half-wave to half-wave
SAMPLED = 8  # samples for each order


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongMagnet:
    """Ratios of readings with one magnet the wrong way up to those of the right machine.

    coil, coil_mean: of every coil alone, RMS and mean of the rectified wave, which a simple meter goes by.
    phases: of each phase, RMS. even: whether all half-waves of a phase stay equal.
    """

    coil: float
    coil_mean: float
    phases: tuple[float, ...]
    even: bool


def wrong_magnet(emf: MachineEmf) -> WrongMagnet:
    """Of a machine; which magnet it is makes no difference."""
    layout = emf.layout
    coils = [_coil(emf, level) for level in range(layout.levels)]
    spread = [_spread(layout, phase, coils[0][0].size) for phase in range(layout.phases)]
    waves = [coils[phase if layout.stacked else 0] for phase in range(layout.phases)]
    phases = [(right * turned, wrong * turned) for (right, wrong), turned in zip(waves, spread, strict=True)]
    irregular = coils[0][0] == 0
    right, wrong = coils[0]
    return WrongMagnet(
        coil=_rms(wrong) / _rms(right),
        coil_mean=_mean(wrong) / _mean(right),
        phases=tuple(_rms(spoilt) / _rms(whole) for whole, spoilt in phases),
        even=all(_rms(spoilt[irregular]) < EVEN * _rms(whole) for whole, spoilt in phases),
    )


def _coil(emf: MachineEmf, phase: int) -> tuple[Complex, Complex]:
    """One coil's EMF by order of the turn, from 1, V: as it should be, and with one magnet turned over."""
    layout, wave = emf.layout, emf.coils[phase]
    orders, pulse = magnet_emf(layout, phase)
    right = np.zeros(orders.size, complex)
    right[(wave.orders * layout.carrier.pole_pairs).astype(int) - 1] = wave.amplitudes
    if not layout.topology.concentrated:
        pulse[right == 0] = (
            0  # the legs of a serpentine cancel what does not change its sign from pole to pole
        )
    return right, np.asarray(right - 2 * pulse, complex)


def _spread(layout: Layout, phase: int, count: int) -> Complex:
    """The sum of a phase's coils over one of them, by order of the turn from 1 to `count`."""
    axes, members = layout.order.axes, layout.order.members[phase]
    angles = np.array([axes[index] for index, _ in members])
    senses = np.array([sense for _, sense in members], float)
    return np.asarray(np.exp(-1j * np.outer(np.arange(1, count + 1), angles)) @ senses, complex)


def _rms(wave: Complex) -> float:
    return float(np.linalg.norm(wave))


def _mean(wave: Complex) -> float:
    """Of the rectified wave over a turn, of sines with these amplitudes."""
    samples = np.fft.irfft(np.concatenate([[0], -1j * wave]), SAMPLED * wave.size)
    return float(np.abs(samples).mean()) * samples.size / 2
