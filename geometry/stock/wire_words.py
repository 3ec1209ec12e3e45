"""What a wire is called: its bare diameter, and its American gauge where it has one."""

from __future__ import annotations

from geometry.stock.wire import Wire


def wire_size(wire: Wire, space: str = " ") -> str:
    """The bare size in words, "0.5 mm", "2 × 0.5 mm" or "AWG 24 (0.511 mm)". space: between number and unit."""
    strands = f"{wire.strands}{space}×{space}" if wire.strands > 1 else ""
    if wire.gauge is None:
        return f"{strands}{wire.diameter_mm:g}{space}mm"
    return f"{strands}AWG{space}{wire.gauge} ({wire.diameter_mm:.3g}{space}mm)"


def wire_mm(wire: Wire) -> str:
    """The bare size for a column of millimetres, "0.5", "2 × 0.5" or "0.511, AWG 24"."""
    strands = f"{wire.strands} × " if wire.strands > 1 else ""
    return strands + (f"{wire.diameter_mm:g}" if wire.gauge is None else f"{wire.diameter_mm:.3g}, AWG {wire.gauge}")


def enamel_words(wire: Wire, space: str = " ") -> str:
    """Whose enamel a wire between the standard's sizes is taken to have; empty for one of them."""
    if wire.standard_mm == wire.diameter_mm:
        return ""
    return f"enamel as on {wire.standard_mm:g}{space}mm, the standard's next size"


_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven"}


def in_hand(strands: int) -> str:
    """How strands are wound: "two wires together"."""
    return f"{_NUMBERS.get(strands, str(strands))} wires together"
