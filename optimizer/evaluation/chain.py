"""One machine's figures from its layout: the whole chain, in order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from geometry.coils.star_of_slots import handbook_winding_factor
from geometry.machine.layout import Layout
from geometry.machine.leads import phase_ends, spare
from geometry.stock.magnet import Magnet
from optimizer.evaluation.copper import copper_mass, matched_power, resistance, wire_length
from optimizer.evaluation.figures import Figures, MagnetFigures
from optimizer.field.attraction import attraction
from optimizer.field.emf import Waveform, lines_of, waveform, waveforms_and_factor
from optimizer.field.steel import field_error, images_share, plate_band, plate_needed

FIGURES = 9  # significant digits that are printed and saved


def evaluate(layout: Layout) -> Figures:
    """Figures of one machine. Judges nothing: `geometry.fit.rules.violations` says whether the layout fits."""
    return figures_of(layout, *waveforms_and_factor(layout))


def figures_of(layout: Layout, waves: Sequence[Waveform], factor: float | None) -> Figures:
    """Figures of one machine whose EMF, that of each phase, and winding factor are known already."""
    emf, lines = waves[0], lines_of(layout, waves)
    winding, carrier, phases = layout.winding, layout.carrier, layout.phases
    length, ends = wire_length(layout), phase_ends(layout)
    ohms = resistance(layout, length)
    low, high = (length * limit for limit in winding.wire.resistance_band)
    section = winding.width * winding.height
    pull = attraction(layout)
    return Figures(
        topology=winding.topology,
        phases=phases,
        magnet_count=carrier.count,
        magnet=magnet_figures(layout),
        pitch_radius_mm=_mm(carrier.pitch_radius),
        coils=layout.coils,
        turns=winding.turns,
        wire_diameter_mm=winding.wire.diameter_mm,
        inner_radius_mm=_mm(winding.inner_radius),
        outer_radius_mm=_mm(winding.outer_radius),
        air_gap_mm=_mm(layout.air_gap),
        width_mm=_mm(winding.width),
        height_mm=_mm(winding.height),
        fill_factor=_significant(winding.turns * winding.wire.overall_area / section),
        speed_rpm=layout.speed_rpm,
        frequency_Hz=_significant(carrier.pole_pairs * layout.speed_rpm / 60),
        emf_rms_V=_significant(emf.rms),
        emf_peak_V=_significant(emf.peak),
        emf_distortion=_significant(emf.distortion),
        emf_constant_V_per_krpm=_significant(emf.rms / layout.speed_rpm * 1000),
        emf_per_root_ohm=_significant(emf.rms / ohms**0.5),
        matched_power_W=_significant(_matched_power(layout, waves, ohms)),
        resistance_ohm=_significant(ohms),
        resistance_min_ohm=_significant(low),
        resistance_max_ohm=_significant(high),
        wire_length_m=_significant(phases * length),
        wire_ends_m=_significant(phases * ends),
        wire_spare_m=_significant(phases * spare(length + ends)),
        copper_mass_g=_significant(phases * copper_mass(layout, length) * 1e3),
        magnet_mass_g=_significant(carrier.carriers * carrier.count * carrier.magnet.mass * 1e3),
        arrangement=carrier.arrangement,
        plate_mm=_mm(carrier.plate),
        connection=winding.connection,
        emf_line_rms_V=_significant(lines[0].rms),
        emf_terminal_peak_V=_significant(max(line.peak for line in lines)),
        winding_factor=None if factor is None else _significant(factor),
        winding_factor_handbook=_significant(_handbook(layout)),
        phase_emf_rms_V=_each(waves),
        line_emf_rms_V=_each(lines),
        **_steel(layout, emf),
        attraction_N=None if pull is None else _significant(pull),
    )


def _each(waves: Sequence[Waveform]) -> tuple[float, ...] | None:
    return tuple(_significant(wave.rms) for wave in waves) if len(waves) > 1 else None


def _handbook(layout: Layout) -> float:
    """1 of what spans a pole everywhere: one phase, and serpentines, each once around."""
    if layout.phases == 1 or not layout.topology.concentrated:
        return 1.0
    return handbook_winding_factor(layout.sectors, layout.carrier.count, layout.phases)


def _matched_power(layout: Layout, waves: Sequence[Waveform], ohms: float) -> float:
    """Of all phases, W: alike but for bundles in layers, where each has its own EMF."""
    if layout.phases == 1 or layout.topology.concentrated or layout.winding.stacking != "layered":
        return layout.phases * matched_power(waves[0].rms, ohms)
    return sum(matched_power(emf.rms, ohms) for emf in waves)


def _steel(layout: Layout, emf: Waveform) -> dict[str, Any]:
    """The plates' figures, where there are plates, and the model's error; emf: of phase A."""
    error = field_error(layout)
    found: dict[str, Any] = {} if error is None else {"field_error": _significant(error)}
    if not layout.carrier.plate:
        return found
    derating, band = emf.rms / waveform(layout, images=1.0).rms, plate_band(layout)
    return found | {
        "plate_needed_mm": _mm(plate_needed(layout)),
        "plate_derating": _significant(derating),
        "plate_derating_band": tuple(_significant(derating * (1 + off)) for off in (-band, band)),
    }


def magnet_figures(layout: Layout) -> MagnetFigures:
    """The magnet's figures."""
    magnet = layout.carrier.magnet
    return MagnetFigures(
        shape=magnet.shape,
        **_sizes(magnet),
        remanence_T=magnet.remanence,
        polarization_T=_significant(magnet.effective_polarization(backed=images_share(layout))),
        grade=magnet.grade,
        label=magnet.label,
        temperature_C=magnet.temperature,
    )


def _sizes(magnet: Magnet) -> dict[str, Any]:
    """What its shape has, by key; no diameter is said to be None."""
    return {"diameter_mm": None} | {key: round(size, 6) for key, size in magnet.sizes.items()}


def _mm(length: float) -> float:
    return round(length * 1e3, 6)


def _significant(value: float) -> float:
    return float(f"{value:.{FIGURES}g}")
