"""Random layouts drawn around the limits of what fits."""

from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from geometry.coils.bundle import Envelope
from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Real
from geometry.fit.rules import carrier_clearances, winding_clearances
from geometry.machine.layout import Carrier, Layout, Space, Winding
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire

SIZES = ("outer", "bore", "wall", "diameter", "pitch", "inner", "outside", "width", "peg")
THIN = Wire(diameter=0.1e-3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What the fit rules look at, m: disc, magnets, winding. The sizes may be arrays, of many draws at once."""

    shape: str
    count: int
    outer: float | Real
    bore: float | Real
    wall: float | Real
    diameter: float | Real
    pitch: float | Real
    inner: float | Real
    outside: float | Real
    width: float | Real
    peg: float | Real

    def toward(self, other: "Draw", share: float | Real, names: tuple[str, ...]) -> "Draw":
        """The draw a `share` of the way to another in the sizes named."""
        mine, theirs = ({name: getattr(draw, name) for name in names} for draw in (self, other))
        return replace(self, **{name: mine[name] + share * (theirs[name] - mine[name]) for name in names})


def draw(rng: np.random.Generator, shape: str, count: int) -> Draw:
    """Anything, fitting or not."""
    outer = rng.uniform(0.03, 0.15)
    bore = outer * rng.uniform(0.05, 0.6)
    radial = rng.random() < 0.5
    clearance = (outer - bore) / 2 if radial else np.pi * (outer + bore) / 2 / count
    diameter = rng.uniform(0.2, 1.1) * clearance
    pitch = rng.uniform(bore + diameter / 2, max(outer - diameter / 2, bore + diameter / 2 + 1e-4))
    inner = bore + rng.uniform(-0.02, 0.6) ** 2 * (outer - bore)
    outside = inner + rng.uniform(0.05, 1.02) * (outer - inner)
    width = rng.uniform(0.02, 0.5) * min(outside - inner, np.pi * (inner + outside) / count / 2)
    return Draw(
        shape=shape, count=count, outer=outer, bore=bore, wall=rng.uniform(0, 0.003), diameter=diameter, pitch=pitch,
        inner=inner, outside=outside, width=width, peg=10 ** rng.uniform(-4, -2.5),
    )  # fmt: skip


def near_a_limit(rng: np.random.Generator, shape: str) -> Draw:
    """A draw a micrometre to a third of a millimetre from where some rule begins to break, on either side."""
    while True:
        count = 2 * int(rng.integers(1, 13))
        good, bad = draw(rng, shape, count), draw(rng, shape, count)
        names = tuple(name for name in SIZES if rng.random() < 0.4)
        if not names or tightest(good) < 0 or tightest(good.toward(bad, 1, names)) >= 0:
            continue
        limit = _where_it_breaks(good, bad, names)
        reach = max(abs(getattr(bad, name) - getattr(good, name)) for name in names)
        step = rng.choice([-1, 1]) * 10 ** rng.uniform(-6, -3.5) / reach
        near = good.toward(bad, limit + step, names)
        if (
            near.outside > near.inner > 0
            and near.outer > near.bore > 0
            and min(near.wall, near.width, near.peg) > 0
        ):
            return near


def _where_it_breaks(good: Draw, bad: Draw, names: tuple[str, ...]) -> float:
    """The share of the way from good to bad where a rule begins to break, to a billionth."""
    low, high = 0.0, 1.0
    for _ in range(3):
        shares = np.linspace(low, high, 1001)
        first = int(np.argmax(tightest(good.toward(bad, shares, names)) < 0))
        low, high = shares[first - 1], shares[first]
    return low


def layout_of(drawn: Draw) -> Layout:
    """The layout of a draw, with a single thin turn so that the section's rules never bind."""
    magnet = DiscMagnet(diameter=drawn.diameter, thickness=0.004, remanence=1.3)
    return Layout(
        title="random",
        space=Space(outer_diameter=2 * drawn.outer, bore_diameter=2 * drawn.bore, wall=drawn.wall),
        carrier=Carrier(magnet=magnet, count=drawn.count, pitch_radius=drawn.pitch),
        winding=Winding(
            topology=drawn.shape, inner_radius=drawn.inner, outer_radius=drawn.outside, width=drawn.width,
            height=0.005, turns=1, wire=THIN, peg_radius=drawn.peg, fill_factor=0.9,
        ),
        air_gap=0.001,
        speed_rpm=300.0,
    )  # fmt: skip


class ManyDiscs:
    """Discs of many diameters, m, where the rules take a single magnet."""

    reach, beside = DiscMagnet.reach, DiscMagnet.beside

    def __init__(self, diameter: float | Real) -> None:
        self.diameter = diameter


def tightest(drawn: Draw) -> Real:
    """Clearance in m under the rule that leaves least, of one draw or of many; −1 for what no layout can be made of."""
    made = (drawn.outside > drawn.inner) & (drawn.inner > 0) & (drawn.outer > drawn.bore) & (drawn.bore > 0)
    made &= np.asarray(drawn.wall) >= 0
    return np.where(made, np.min(np.broadcast_arrays(*clearances(drawn).values()), axis=0), -1.0)


def clearances(drawn: Draw) -> dict[str, Real]:
    """Clearance in m under every rule of disc, carrier and winding, of one draw or of many."""
    space: Any = SimpleNamespace(outer_radius=drawn.outer, bore_radius=drawn.bore, wall=drawn.wall)
    envelope = Envelope(
        inner_radius=drawn.inner, outer_radius=drawn.outside, width=drawn.width, sectors=drawn.count,
        peg_radius=drawn.peg,
    )  # fmt: skip
    magnet: Any = ManyDiscs(drawn.diameter)
    found = carrier_clearances(space, magnet, drawn.count, drawn.pitch)
    return found | winding_clearances(space, TOPOLOGIES[drawn.shape], envelope)
