"""One machine's figures from its layout: the whole chain, in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from geometry.coils.star_of_slots import handbook_winding_factor
from geometry.machine.filaments import phase_ends, spare
from geometry.machine.layout import Layout
from optimizer.evaluation.copper import copper_mass, matched_power, resistance, wire_length
from optimizer.evaluation.figures import Figures
from optimizer.field.emf import MachineEmf, Waveform, attraction, machine_emf
from optimizer.field.steel import field_error, plate_band, plate_needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Evaluation:
    """One machine carried through the whole chain, once, for all who ask: its EMF with every wave, and its figures."""

    emf: MachineEmf
    figures: Figures

    @property
    def layout(self) -> Layout:
        """The machine."""
        return self.figures.layout


def evaluate(layout: Layout) -> Figures:
    """Figures of one machine. Judges nothing: `geometry.fit.rules.violations` says whether the layout fits."""
    return figures_of(machine_emf(layout))


def emf_and_power(layout: Layout) -> tuple[float, float]:
    """RMS EMF of phase A in V and power into a matched load in W, as `evaluate` has them, and nothing else."""
    emf, ohms = machine_emf(layout), resistance(layout, wire_length(layout))
    return emf.phases[0].rms, _matched_power(emf, ohms)


def evaluation(layout: Layout) -> Evaluation:
    """`evaluate` with the waves that the figures come from."""
    emf = machine_emf(layout)
    return Evaluation(emf=emf, figures=figures_of(emf))


def figures_of(emf: MachineEmf) -> Figures:
    """Figures of one machine whose EMF is known already."""
    layout, first, lines = emf.layout, emf.phases[0], emf.lines
    carrier, phases = layout.carrier, layout.phases
    length, ends = wire_length(layout), phase_ends(layout)
    ohms = resistance(layout, length)
    low, high = (length * limit for limit in layout.winding.wire.resistance_band)
    return Figures(
        layout=layout,
        emf_rms_V=first.rms,
        emf_peak_V=first.peak,
        emf_thd=first.distortion,
        emf_line_rms_V=lines[0].rms,
        emf_terminal_peak_V=max(line.peak for line in lines),
        matched_power_W=_matched_power(emf, ohms),
        resistance_ohm=ohms,
        resistance_min_ohm=low,
        resistance_max_ohm=high,
        wire_length_m=phases * length,
        wire_ends_m=phases * ends,
        wire_spare_m=phases * spare(length + ends),
        copper_mass_g=phases * copper_mass(layout, length) * 1e3,
        magnet_mass_g=carrier.carriers * carrier.count * carrier.magnet.mass * 1e3,
        polarization_T=carrier.magnet.effective_polarization(backed=emf.images),
        winding_factor=emf.winding_factor,
        winding_factor_handbook=_handbook(layout),
        phase_emf_rms_V=_each(emf.phases),
        line_emf_rms_V=_each(lines),
        **_steel(emf),
        attraction_N=attraction(layout),
    )


def _each(waves: Sequence[Waveform]) -> tuple[float, ...] | None:
    return tuple(wave.rms for wave in waves) if len(waves) > 1 else None


def _handbook(layout: Layout) -> float:
    """1 of what spans a pole everywhere: one phase, and serpentines, each once around."""
    if layout.phases_per_level == 1:
        return 1.0
    return handbook_winding_factor(layout.sectors, layout.carrier.count, layout.phases)


def _matched_power(emf: MachineEmf, ohms: float) -> float:
    """Of all phases, W: alike but for bundles in layers, where each has its own EMF."""
    layout = emf.layout
    if not layout.stacked or layout.pieces > 1:
        return layout.phases * matched_power(emf.phases[0].rms, ohms)
    return sum(matched_power(wave.rms, ohms) for wave in emf.phases)


def _steel(emf: MachineEmf) -> dict[str, Any]:
    """The plates' figures, where there are plates, and the model's error."""
    layout = emf.layout
    steel: dict[str, Any] = {"field_error": field_error(layout)}
    if not layout.carrier.plate:
        return steel
    derating, band = emf.phases[0].rms / machine_emf(layout, images=1.0).phases[0].rms, plate_band(layout)
    return steel | {
        "plate_needed_mm": plate_needed(layout) * 1e3,
        "plate_derating": derating,
        "plate_derating_band": tuple(derating * (1 + off) for off in (-band, band)),
    }
