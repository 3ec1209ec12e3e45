"""One machine's figures, as printed and as saved: plain numbers with their units in their names."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class MagnetFigures:
    """The magnet, with the remanence it was sold by and the polarization its field is computed from.

    label: shape and sizes in words, see `geometry.stock.magnet.Magnet.label`. Sizes that its shape does not have are
    None, and left out of `as_dict` but for the diameter.
    """

    shape: str
    diameter_mm: float | None
    thickness_mm: float
    remanence_T: float
    polarization_T: float
    grade: str | None
    label: str
    temperature_C: float = 20.0
    bore_mm: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    inner_radius_mm: float | None = None
    outer_radius_mm: float | None = None
    angle_deg: float | None = None

    @property
    def size(self) -> str:
        """Its sizes alone, as `label` has them."""
        return self.label.removeprefix(f"{self.shape} ")

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        always = ("diameter_mm", "grade")
        return {name: value for name, value in asdict(self).items() if value is not None or name in always}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What one machine is and does; open circuit, one phase, the whole waveform.

    turns: per coil. resistance: of one phase; wire_length (of the turns), wire_ends (what is led
    out and joins the coils), wire_spare (kept beyond both), masses and matched power: of all phases.
    emf_line_rms_V: between two terminals; emf_terminal_peak_V: the highest between any two. winding_factor: fundamental
    EMF of the actual spread of turns over that of as many full-pitch legs, None where those give less, in the field
    that returns beside the magnets; winding_factor_handbook: distribution times pitch factor as tables have it.
    phase_emf_rms_V: of the phases A, B, C; line_emf_rms_V: between A and B, B and C, C and A. plate_needed_mm:
    thickness that carries the magnets' flux. plate_derating: the EMF, which is that to expect, over what a plate that
    carries all the flux would give, with its band. field_error: greatest error of such volts that finite elements
    found over machines with plates or without, a share. attraction_N:
    pull between facing carriers. None where they do not apply.
    """

    topology: str
    phases: int
    magnet_count: int
    magnet: MagnetFigures
    pitch_radius_mm: float
    coils: int
    turns: int
    wire_diameter_mm: float
    inner_radius_mm: float
    outer_radius_mm: float
    air_gap_mm: float
    width_mm: float
    height_mm: float
    fill_factor: float
    speed_rpm: float
    frequency_Hz: float
    emf_rms_V: float
    emf_peak_V: float
    emf_distortion: float
    emf_constant_V_per_krpm: float
    emf_per_root_ohm: float
    matched_power_W: float
    resistance_ohm: float
    resistance_min_ohm: float
    resistance_max_ohm: float
    wire_length_m: float
    wire_ends_m: float
    wire_spare_m: float
    copper_mass_g: float
    magnet_mass_g: float
    arrangement: str
    plate_mm: float
    connection: str
    emf_line_rms_V: float
    emf_terminal_peak_V: float
    winding_factor: float | None
    winding_factor_handbook: float
    phase_emf_rms_V: tuple[float, ...] | None = None
    line_emf_rms_V: tuple[float, ...] | None = None
    plate_needed_mm: float | None = None
    plate_derating: float | None = None
    plate_derating_band: tuple[float, float] | None = None
    field_error: float | None = None
    attraction_N: float | None = None

    @property
    def wire_needed_m(self) -> float:
        """What the spool must hold: turns, ends, joints and spare of all phases."""
        return self.wire_length_m + self.wire_ends_m + self.wire_spare_m

    @property
    def plate(self) -> dict[str, Any]:
        """The steel behind the magnets, for JSON: thickness, what is needed, what is left of the EMF, its band."""
        names = ("plate_mm", "plate_needed_mm", "plate_derating", "plate_derating_band")
        return {name: getattr(self, name) for name in names}

    def as_dict(self) -> dict[str, Any]:
        """For JSON, keys in the order above; what only three phases have is None of one."""
        found = asdict(self) | {"magnet": self.magnet.as_dict()}
        found = {name: list(value) if isinstance(value, tuple) else value for name, value in found.items()}
        return found if self.phases > 1 else found | {"connection": None, "emf_line_rms_V": None}
