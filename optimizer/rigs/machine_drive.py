"""A layout turned by hand through a rig: its run, with what the layout adds."""

from __future__ import annotations

from dataclasses import replace

from geometry.machine.layout import Layout
from optimizer.circuit.loads import Load
from optimizer.circuit.thevenin import thevenin_of
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.evaluation.retention import retention
from optimizer.loads.hazards import heat_hazards
from optimizer.rigs.best_draw import best_draw
from optimizer.rigs.drive_run import DriveRun
from optimizer.rigs.hand_drive import SECONDS, drive
from optimizer.rigs.rig import Rig
from optimizer.rigs.rotor import rotor_of


def drive_layout(
    layout: Layout, load: Load, rig: Rig, seconds: float = SECONDS, machine: Evaluation | None = None
) -> DriveRun:
    """The run of a rig that turns the layout into `load`, and what bites in it. Raises CannotTurn.

    seconds: length of the run, s. machine: the layout's evaluation, where it is made already.
    """
    machine = machine or evaluation(layout)
    source, rotor = thevenin_of(layout, emf=machine.emf), rotor_of(layout)
    run = drive(source, load, rig, rotor, seconds)
    heat = heat_hazards(layout, run.energies.copper / run.seconds)  # as in such a run without end
    return replace(
        run,
        draw=best_draw(source, load, rig, rotor),
        figures=machine.figures,
        load_hazards=(*run.load_hazards, *heat),
        held=retention(layout),
    )
