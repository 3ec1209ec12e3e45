"""One machine's figures from its layout: the whole chain, in order.

Figures are in the units that people ask for, which stand in their names. For JSON: the contract's keys, lengths in mm
to a nanometre, all else to nine significant digits.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from geometry.coils.star_of_slots import handbook_winding_factor
from geometry.machine.filaments import phase_ends, spare
from geometry.machine.layout import Layout
from geometry.stock.magnet import Magnet
from optimizer.evaluation.copper import copper_mass, matched_power, resistance, wire_length
from optimizer.field.emf import MachineEmf, Waveform, attraction, machine_emf
from optimizer.field.steel import field_error, plate_band, plate_needed

DIGITS = 9  # significant ones that are printed and saved
PRINTED = (
    "topology", "phases", "magnet_count", "magnet", "pitch_radius_mm", "coils", "turns", "wire_diameter_mm",
    "wire_awg", "strands",
    "inner_radius_mm", "outer_radius_mm", "air_gap_mm", "width_mm", "height_mm", "fill_factor", "speed_rpm",
    "frequency_Hz", "emf_rms_V", "emf_peak_V", "emf_thd", "emf_constant_V_per_krpm", "emf_per_root_ohm",
    "matched_power_W", "resistance_ohm", "resistance_min_ohm", "resistance_max_ohm", "wire_length_m", "wire_ends_m",
    "wire_spare_m", "copper_mass_g", "magnet_mass_g", "arrangement", "plate_mm", "connection", "emf_line_rms_V",
    "emf_terminal_peak_V", "winding_factor", "winding_factor_handbook", "phase_emf_rms_V", "line_emf_rms_V",
    "plate_needed_mm", "plate_derating", "plate_derating_band", "field_error", "attraction_N",
)  # names of figures, in the contract's order  # fmt: skip
OF_LAYOUT: dict[str, Callable[[Layout], Any]] = {
    "topology": lambda m: m.winding.topology,
    "phases": lambda m: m.phases,
    "magnet_count": lambda m: m.carrier.count,
    "magnet": lambda m: m.carrier.magnet,
    "pitch_radius_mm": lambda m: m.carrier.pitch_radius * 1e3,
    "coils": lambda m: m.coils,
    "turns": lambda m: m.winding.turns,
    "wire_diameter_mm": lambda m: m.winding.wire.diameter_mm,
    "wire_awg": lambda m: m.winding.wire.gauge,
    "strands": lambda m: m.winding.wire.strands,
    "inner_radius_mm": lambda m: m.winding.inner_radius * 1e3,
    "outer_radius_mm": lambda m: m.winding.outer_radius * 1e3,
    "air_gap_mm": lambda m: m.air_gap * 1e3,
    "width_mm": lambda m: m.winding.width * 1e3,
    "height_mm": lambda m: m.winding.height * 1e3,
    "speed_rpm": lambda m: m.speed_rpm,
    "arrangement": lambda m: m.carrier.arrangement,
    "plate_mm": lambda m: m.carrier.plate * 1e3,
    "connection": lambda m: m.winding.connection,
}  # what the layout says of itself; all other figures are results
OF_THREE = ("connection", "emf_line_rms_V")  # None of one phase
OF_PLATE = ("plate_mm", "plate_needed_mm", "plate_derating", "plate_derating_band")


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What one machine does; open circuit, one phase, the whole waveform.

    resistance: of one phase; wire_length (of the turns), wire_ends (what is led
    out and joins the coils), wire_spare (kept beyond both), masses and matched power: of all phases; wire of all
    strands.
    emf_thd: total harmonic distortion, the harmonics' RMS over the fundamental's.
    emf_line_rms_V: between two terminals; emf_terminal_peak_V: the highest between any two. winding_factor: see
    `optimizer.field.emf.MachineEmf`; winding_factor_handbook: distribution times pitch factor as tables have it.
    phase_emf_rms_V: of the phases A, B, C; line_emf_rms_V: between A and B, B and C, C and A. polarization_T: what the
    field is computed from. plate_needed_mm:
    thickness that carries the magnets' flux. plate_derating: the EMF, which is that to expect, over what a plate that
    carries all the flux would give, with its band. field_error: greatest error of such volts that finite elements
    found over machines with plates or without, a share. attraction_N:
    pull between facing carriers. None where they do not apply.
    """

    layout: Layout
    emf_rms_V: float
    emf_peak_V: float
    emf_thd: float
    emf_line_rms_V: float
    emf_terminal_peak_V: float
    matched_power_W: float
    resistance_ohm: float
    resistance_min_ohm: float
    resistance_max_ohm: float
    wire_length_m: float
    wire_ends_m: float
    wire_spare_m: float
    copper_mass_g: float
    magnet_mass_g: float
    polarization_T: float
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
        """What the spool must hold, m: turns, ends, joints and spare of all phases."""
        return self.wire_length_m + self.wire_ends_m + self.wire_spare_m

    @property
    def emf_constant_V_per_krpm(self) -> float:  # noqa: N802 - the contract's name
        """RMS per 1000 rpm."""
        return self.emf_rms_V / self.layout.speed_rpm * 1000

    @property
    def emf_per_root_ohm(self) -> float:
        """RMS over the root of the resistance, V/√Ω: what the geometry is worth whatever wire is chosen."""
        return self.emf_rms_V / self.resistance_ohm**0.5

    @property
    def frequency_Hz(self) -> float:  # noqa: N802 - the contract's name
        """Of the EMF, Hz."""
        return self.layout.carrier.pole_pairs * self.layout.speed_rpm / 60

    @property
    def emf_rms_V_band(self) -> tuple[float, float] | None:  # noqa: N802 - the contract's name
        """V rms of the least and the most plausible remanence, to which volts are proportional; None where it is known.

        Steel that saturates takes a little of the most.
        """
        magnet = self.layout.carrier.magnet
        if magnet.remanence_band is None:
            return None
        low, high = (self.emf_rms_V * end / magnet.remanence for end in magnet.remanence_band)
        return low, high

    @property
    def fill_factor(self) -> float:
        """Ratio of the insulated wire's section to the bundle's."""
        winding = self.layout.winding
        return winding.turns * winding.wire.overall_area / (winding.width * winding.height)


def figures_document(figures: Figures) -> dict[str, Any]:
    """One machine's figures in the contract's order; what only three phases have is None of one."""
    shown = {name: _shown(figures, name) for name in PRINTED}
    if figures.emf_rms_V_band:
        shown["emf_rms_V_band"] = _shown(figures, "emf_rms_V_band")
    return shown if figures.layout.phases > 1 else shown | dict.fromkeys(OF_THREE)


def plate_document(figures: Figures) -> dict[str, Any]:
    """The steel behind the magnets: thickness, what is needed, what is left of the EMF, its band."""
    return {name: _shown(figures, name) for name in OF_PLATE}


def figure(figures: Figures, name: str) -> Any:
    """One figure by its name in `PRINTED`, whether the layout says it or it is a result; not rounded."""
    return OF_LAYOUT[name](figures.layout) if name in OF_LAYOUT else getattr(figures, name)


def _shown(figures: Figures, name: str) -> Any:
    value = figure(figures, name)
    if isinstance(value, Magnet):
        return _magnet(value, figures.polarization_T)
    if isinstance(value, float) and name.endswith("_mm"):
        return round(value, 6)
    return value if isinstance(value, int | str) else significant(value)


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


def significant(value: float | tuple[float, ...] | None) -> Any:
    """A number, or several as a list, to `DIGITS` significant digits; None stays."""
    if value is None:
        return None
    return [significant(each) for each in value] if isinstance(value, tuple) else float(f"{value:.{DIGITS}g}")


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
    wires = phases * layout.winding.wire.strands
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
        wire_length_m=wires * length,
        wire_ends_m=wires * ends,
        wire_spare_m=wires * spare(length + ends),
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
