"""Figures for JSON: the contract's keys, lengths in mm to a nanometre, all else to nine significant digits."""

from __future__ import annotations

from typing import Any

from geometry.stock.magnet import Magnet
from optimizer.evaluation.figures import Figures

DIGITS = 9  # significant ones that are printed and saved


def figures_document(figures: Figures) -> dict[str, Any]:
    """One machine's figures in the contract's order; what only three phases have is None of one."""
    three = figures.phases > 1
    return {
        "topology": figures.topology,
        "phases": figures.phases,
        "magnet_count": figures.magnet_count,
        "magnet": _magnet(figures.magnet, figures.polarization_T),
        "pitch_radius_mm": _mm(figures.pitch_radius_mm),
        "coils": figures.coils,
        "turns": figures.turns,
        "wire_diameter_mm": figures.wire_diameter_mm,
        "inner_radius_mm": _mm(figures.inner_radius_mm),
        "outer_radius_mm": _mm(figures.outer_radius_mm),
        "air_gap_mm": _mm(figures.air_gap_mm),
        "width_mm": _mm(figures.width_mm),
        "height_mm": _mm(figures.height_mm),
        "fill_factor": significant(figures.fill_factor),
        "speed_rpm": figures.speed_rpm,
        "frequency_Hz": significant(figures.frequency_Hz),
        "emf_rms_V": significant(figures.emf_rms_V),
        "emf_peak_V": significant(figures.emf_peak_V),
        "emf_thd": significant(figures.emf_thd),
        "emf_constant_V_per_krpm": significant(figures.emf_constant_V_per_krpm),
        "emf_per_root_ohm": significant(figures.emf_per_root_ohm),
        "matched_power_W": significant(figures.matched_power_W),
        "resistance_ohm": significant(figures.resistance_ohm),
        "resistance_min_ohm": significant(figures.resistance_min_ohm),
        "resistance_max_ohm": significant(figures.resistance_max_ohm),
        "wire_length_m": significant(figures.wire_length_m),
        "wire_ends_m": significant(figures.wire_ends_m),
        "wire_spare_m": significant(figures.wire_spare_m),
        "copper_mass_g": significant(figures.copper_mass_g),
        "magnet_mass_g": significant(figures.magnet_mass_g),
        "arrangement": figures.arrangement,
        "plate_mm": _mm(figures.plate_mm),
        "connection": figures.connection if three else None,
        "emf_line_rms_V": significant(figures.emf_line_rms_V) if three else None,
        "emf_terminal_peak_V": significant(figures.emf_terminal_peak_V),
        "winding_factor": significant(figures.winding_factor),
        "winding_factor_handbook": significant(figures.winding_factor_handbook),
        "phase_emf_rms_V": significant(figures.phase_emf_rms_V),
        "line_emf_rms_V": significant(figures.line_emf_rms_V),
        **{name: value for name, value in plate_document(figures).items() if name != "plate_mm"},
        "field_error": significant(figures.field_error),
        "attraction_N": significant(figures.attraction_N),
    }


def plate_document(figures: Figures) -> dict[str, Any]:
    """The steel behind the magnets: thickness, what is needed, what is left of the EMF, its band."""
    return {
        "plate_mm": _mm(figures.plate_mm),
        "plate_needed_mm": _mm(figures.plate_needed_mm),
        "plate_derating": significant(figures.plate_derating),
        "plate_derating_band": significant(figures.plate_derating_band),
    }


def _magnet(magnet: Magnet, polarization: float) -> dict[str, Any]:
    """The magnet, sizes that its shape does not have left out but for the diameter."""
    sizes = {name: round(size, 6) for name, size in magnet.sizes.items()}
    named: dict[str, Any] = {"shape": magnet.shape, "diameter_mm": sizes.pop("diameter_mm", None)}
    named["thickness_mm"] = sizes.pop("thickness_mm")
    return named | {
        "remanence_T": magnet.remanence,
        "polarization_T": significant(polarization),
        "grade": magnet.grade,
        "label": magnet.label,
        "temperature_C": magnet.temperature,
        **sizes,
    }


def _mm(length: float | None) -> float | None:
    return None if length is None else round(length, 6)


def significant(value: float | tuple[float, ...] | None) -> Any:
    """A number, or several as a list, to `DIGITS` significant digits; None stays."""
    if value is None:
        return None
    return [significant(each) for each in value] if isinstance(value, tuple) else float(f"{value:.{DIGITS}g}")
