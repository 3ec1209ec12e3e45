"""What a wire is called: its bare diameter, and its American gauge where it has one."""

from __future__ import annotations

from geometry.stock.wire import Wire


def wire_size(wire: Wire, space: str = " ") -> str:
    """The bare size in words, "0.5 mm" or "AWG 24 (0.511 mm)". space: between number and unit."""
    if wire.gauge is None:
        return f"{wire.diameter_mm:g}{space}mm"
    return f"AWG{space}{wire.gauge} ({wire.diameter_mm:.3g}{space}mm)"


def wire_mm(wire: Wire) -> str:
    """The bare size for a column of millimetres, "0.5" or "0.511, AWG 24"."""
    return f"{wire.diameter_mm:g}" if wire.gauge is None else f"{wire.diameter_mm:.3g}, AWG {wire.gauge}"


def enamel_words(wire: Wire, space: str = " ") -> str:
    """Whose enamel a wire between the standard's sizes is taken to have; empty for one of them."""
    if wire.standard_mm == wire.diameter_mm:
        return ""
    return f"enamel as on {wire.standard_mm:g}{space}mm, the standard's next size"
