"""One machine's figures from its layout: the whole chain, in order."""

from __future__ import annotations

from geometry.layout import Layout
from optimizer.circuit import copper_mass, matched_power, resistance, wire_length
from optimizer.emf import Waveform, waveform
from optimizer.figures import Figures, MagnetFigures

FIGURES = 9  # significant digits that are printed and saved


def evaluate(layout: Layout) -> Figures:
    """Figures of one machine. Judges nothing: `geometry.fit.misfits` says whether the layout fits."""
    return figures_of(layout, waveform(layout))


def figures_of(layout: Layout, emf: Waveform) -> Figures:
    """Figures of one machine whose EMF is known already."""
    winding, carrier = layout.winding, layout.carrier
    length = wire_length(layout)
    ohms = resistance(layout, length)
    low, high = (length * limit for limit in winding.wire.resistance_band)
    section = winding.width * winding.height
    return Figures(
        topology=winding.topology,
        phases=layout.phases,
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
        matched_power_W=_significant(matched_power(emf.rms, ohms)),
        resistance_ohm=_significant(ohms),
        resistance_min_ohm=_significant(low),
        resistance_max_ohm=_significant(high),
        wire_length_m=_significant(length),
        copper_mass_g=_significant(copper_mass(layout, length) * 1e3),
        magnet_mass_g=_significant(carrier.count * carrier.magnet.mass * 1e3),
    )


def magnet_figures(layout: Layout) -> MagnetFigures:
    """The magnet's figures."""
    magnet = layout.carrier.magnet
    return MagnetFigures(
        shape=magnet.shape,
        diameter_mm=_mm(magnet.diameter),
        thickness_mm=_mm(magnet.thickness),
        remanence_T=magnet.remanence,
        polarization_T=_significant(magnet.polarization),
        grade=magnet.grade,
    )


def _mm(length: float) -> float:
    return round(length * 1e3, 6)


def _significant(value: float) -> float:
    return float(f"{value:.{FIGURES}g}")
