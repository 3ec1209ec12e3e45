"""The layout that many tests start from: a small lantern's machine, one for each coil shape, that fits."""

from dataclasses import fields
from typing import Any

from geometry.machine.layout import Carrier, Layout, Space, Winding
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire

SPACE = {"outer_diameter": 0.11, "bore_diameter": 0.03, "wall": 0.002}
MAGNET = {"diameter": 0.015, "thickness": 0.004, "grade": "N42"}
CARRIER = {"count": 8, "pitch_radius": 0.04}
WINDING = {
    "inner_radius": 0.02,
    "outer_radius": 0.05,
    "width": 0.004,
    "height": 0.005,
    "turns": 40,
    "wire": Wire(diameter=0.25e-3),
    "peg_radius": 0.0015,
    "fill_factor": 0.6,
}
MACHINE = {"title": "Lantern", "air_gap": 0.0015, "speed_rpm": 400.0}
ROUND = {"inner_radius": 0.03}  # eight round coils must be small to stand side by side


def lantern_layout(topology: str = "serpentine", **changes: Any) -> Layout:
    """A layout that fits, with any field of Space, Carrier, Winding or Layout changed by its name (SI).

    `magnet` and `wire` take a DiscMagnet and a Wire. An unknown name is a TypeError.
    """
    winding = WINDING | {"topology": topology} | (ROUND if topology == "round" else {})
    carrier = CARRIER | {"magnet": DiscMagnet.of_grade(**MAGNET)}
    space, winding, carrier, machine = (
        values | {name: changes.pop(name) for name in _names(kind) & changes.keys()}
        for kind, values in ((Space, SPACE), (Winding, winding), (Carrier, carrier), (Layout, MACHINE))
    )
    if changes:
        raise TypeError(f"no such field: {', '.join(changes)}")
    return Layout(space=Space(**space), carrier=Carrier(**carrier), winding=Winding(**winding), **machine)


def _names(kind: type) -> set[str]:
    return {field.name for field in fields(kind)} - {"space", "carrier", "winding"}
