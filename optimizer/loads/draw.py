"""How much a converter may draw of a winding at a steady speed."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import LimitedLoad
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.cut_in import working_rpm
from optimizer.loads.load_curves import LoadCurve

STEP = 0.999  # of a draw that is as good as all of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """The draw at a converter's output that charges fastest, W. plug_rpm: speed of the rotor above which it is held.

    cliff: W from which on it is not held; None where more draw never brings less. beyond: W that come of a draw above
    the cliff. hand: W of the hand that holds it; zero at a steady speed. set_rpm: speed above which the draw that
    `load` is set to is held, None at none that comes about.
    """

    load: LimitedLoad

    watts: float
    plug_rpm: float
    cliff: float | None
    beyond: float
    hand: float = 0.0
    set_rpm: float | None = None


def steady_draw(source: TheveninSource, load: Load, curve: LoadCurve | None, rpm: float) -> Draw | None:
    """At a steady speed; `curve`: of the volts held there. None of another load, or without output.

    plug_rpm is then that speed: at any lower one the draw is not held.
    """
    limited = load.limited
    if limited is None or curve is None:
        return None
    eager = steady_state(source, limited.unlimited, rpm)
    if not eager.starts:
        return None
    maximum = limited.efficiency * curve.best_point.load_watts if curve.best > limited.least_input else 0.0
    best, cliff = max(maximum, eager.load_watts), maximum if maximum > eager.load_watts else None
    held = working_rpm(source, load, STEP * limited.most_watts) if limited.most_watts <= best else None
    return Draw(load=limited, watts=best, plug_rpm=rpm, cliff=cliff, beyond=eager.load_watts, set_rpm=held)
