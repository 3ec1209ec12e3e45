"""Machines of three phases and of other arrangements that fit, for tests that hold for all of them."""

from typing import Any

from layouts import lantern_layout

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet


def _disc(diameter: float) -> DiscMagnet:
    return DiscMagnet.of_grade(diameter=diameter, thickness=0.004, grade="N42")


def nine_wedges(**changes: Any) -> Layout:
    """Nine wedge coils before eight magnets, three phases in star."""
    return lantern_layout("wedge", phases=3, coils=9, **changes)


def six_wedges(**changes: Any) -> Layout:
    """Six wedge coils before eight magnets: neighbours of different phases, all of one sense."""
    return lantern_layout("wedge", phases=3, coils=6, **changes)


def twelve_rounds(**changes: Any) -> Layout:
    """Twelve round coils before ten magnets, three phases in delta."""
    sizes: dict[str, Any] = {"inner_radius": 0.032, "width": 0.003, "pitch_radius": 0.041, "turns": 30}
    sizes |= {"count": 10, "magnet": _disc(0.012), "connection": "delta"}
    return lantern_layout("round", phases=3, coils=12, **(sizes | changes))


def many_rounds() -> Layout:
    """Twenty-four round coils before twenty magnets: long ways from coil to coil."""
    sizes: dict[str, Any] = {"inner_radius": 0.0385, "width": 0.002, "pitch_radius": 0.0445, "turns": 10}
    return lantern_layout("round", phases=3, coils=24, count=20, magnet=_disc(0.009), **sizes)


def nine_racetracks(**changes: Any) -> Layout:
    """Nine racetrack coils before eight magnets, three phases in star."""
    return lantern_layout("racetrack", phases=3, coils=9, **changes)


def three_serpentines(**changes: Any) -> Layout:
    """Three serpentine bundles one above the other."""
    sizes: dict[str, Any] = {"height": 0.003, "turns": 25}
    return lantern_layout(phases=3, **(sizes | changes))


def facing_wedges(**changes: Any) -> Layout:
    """Two carriers with steel of 3 mm, eight wedge coils between them."""
    return lantern_layout("wedge", **({"arrangement": "facing", "plate": 0.003} | changes))


FAMILY = {
    "nine wedges": nine_wedges(),
    "six wedges": six_wedges(),
    "twelve rounds": twelve_rounds(),
    "many rounds": many_rounds(),
    "nine racetracks": nine_racetracks(),
    "three serpentines": three_serpentines(),
    "interleaved serpentines": three_serpentines(stacking="interleaved", height=0.004),
    "facing wedges": facing_wedges(),
    "nine wedges on each side": nine_wedges(arrangement="two-sided"),
    "a serpentine on each side": lantern_layout(arrangement="two-sided"),
}
