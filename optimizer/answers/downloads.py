"""Files to download: the same functions, and so the same bytes, as the command line's."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from typing import TypedDict

from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Drawing
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.writers.dxf import dxf_bytes
from geometry.writers.pdf import pdf_bytes
from geometry.writers.svg import svg_text
from optimizer.answers.file_names import SEARCH_ZIP
from optimizer.answers.page_values import Flat, brief_of, file_of_flat, layout_of
from optimizer.answers.page_violations import too_much_to_draw
from optimizer.answers.refusal import Refused
from optimizer.answers.simulation import Asked, Simulation, entries_of
from optimizer.brief.brief import brief_text
from optimizer.building.pack_parts import PackFault, PackOptions, WillBurst
from optimizer.loads.load_file import load_text
from optimizer.motors.rewinding import RewindBrief, pick, sweep
from optimizer.packs.build_pack import ZIP_NAME, build_pack, zip_bytes
from optimizer.packs.result_files import ShownResult, result_files
from optimizer.reports.answer_files import compare_files, load_files, rewind_files
from optimizer.rigs.rig import Rig
from optimizer.rigs.rig_file import rig_text
from optimizer.search.load_search import LoadResult
from optimizer.search.result import Result
from optimizer.words.page_words import MOTOR_HEADING, NO_MOTOR, NO_RIG, NO_SEARCH


class Wanted(TypedDict):
    """What is asked for: a name of `FILES`, with the values it is made from.

    even_so: whether to make what bursts at its own speed. result: pickled, of the brief.
    """

    name: str
    design: Flat
    brief: Flat
    paper: str
    even_so: bool
    result: bytes | None


class WantedSimulated(TypedDict):
    """A name of `SIMULATION_FILES`, and the values that the file is made from."""

    name: str
    simulated: Asked


def download(wanted: Wanted) -> bytes:
    """The bytes of one file. Raises `Refused` when it cannot be made."""
    try:
        return FILES[wanted["name"]](wanted)
    except WillBurst as fault:
        raise Refused(f"{fault}; or tick the box above to have them made even so") from fault
    except (PackFault, ValueError) as fault:
        raise Refused(str(fault)) from fault


def download_simulated(wanted: WantedSimulated) -> bytes:
    """The bytes of one file of the panel Use. Raises `Refused` when it cannot be made."""
    try:
        return SIMULATION_FILES[wanted["name"]](Simulation.of(wanted["simulated"]))
    except ValueError as fault:
        raise Refused(str(fault)) from fault


def _fitting(wanted: Wanted) -> Layout:
    """The design, once it fits: nothing is built from one that does not."""
    layout = layout_of(wanted["design"])
    if words := too_much_to_draw(layout):
        raise Refused(words)
    if faults := violations(layout):
        raise Refused([(fault.key, fault.message) for fault in faults])
    return layout


def _template(write: Callable[[Drawing, str], bytes]) -> Callable[[Wanted], bytes]:
    """The template as `write` writes it on paper of a name."""
    return lambda wanted: write(draw_layout(_fitting(wanted)), wanted["paper"])


def _pack(wanted: Wanted) -> dict[str, bytes]:
    options = PackOptions(paper=wanted["paper"], even_so=wanted["even_so"])
    return build_pack(_fitting(wanted), options).files


def _of_pack(name: str) -> Callable[[Wanted], bytes]:
    def made(wanted: Wanted) -> bytes:
        files = _pack(wanted)
        if name not in files:
            raise Refused(f"the build pack of this design has no {name}")
        return files[name]

    return made


def _result(wanted: Wanted) -> tuple[Result, LoadResult | None]:
    """What `search` kept."""
    if wanted["result"] is None:
        raise Refused(NO_SEARCH)
    return pickle.loads(wanted["result"])


def _of_search(name: str) -> Callable[[Wanted], bytes]:
    return lambda wanted: result_files(ShownResult.of(_result(wanted)[0]))[name]


def _search_zip(wanted: Wanted) -> bytes:
    """What `optimize --pack` writes to its folder."""
    result, for_load = _result(wanted)
    shown = ShownResult.of(result)
    pack = build_pack(shown.machine.layout, PackOptions(even_so=wanted["even_so"]), shown=shown)
    files = result_files(shown) | {f"pack/{name}": content for name, content in pack.files.items()}
    if for_load is not None:
        files |= load_files(for_load, shown.machine)
    return zip_bytes(files, "search")


FILES: dict[str, Callable[[Wanted], bytes]] = {
    "layout.toml": lambda wanted: layout_text(layout_of(wanted["design"])).encode(),
    "brief.toml": lambda wanted: brief_text(brief_of(wanted["brief"])).encode(),
    "template.pdf": _template(lambda drawing, paper: pdf_bytes(drawing, paper, title=drawing.title)),
    "template.dxf": _template(lambda drawing, _: dxf_bytes(drawing)),
    "template.svg": _template(lambda drawing, _: svg_text(drawing).encode()),
    ZIP_NAME: lambda wanted: zip_bytes(_pack(wanted)),
    **{name: _of_pack(name) for name in ("winding_card.html", "parts.csv", "report.html", "README.md")},
    **{
        f"{part}.{kind}": _of_pack(f"{part}.{kind}")
        for part in ("carrier", "cover", "former")
        for kind in ("stl", "3mf")
    },
    "search_report.html": _of_search("report.html"),
    "result.json": _of_search("result.json"),
    SEARCH_ZIP: _search_zip,
}


def _motor(simulation: Simulation) -> RewindBrief:
    if simulation.motor is None:
        raise Refused(NO_MOTOR)
    return simulation.motor


def _rig(simulation: Simulation) -> Rig:
    if simulation.rig is None:
        raise Refused(NO_RIG)
    return simulation.rig


def _motor_file(simulation: Simulation) -> bytes:
    _motor(simulation)
    return file_of_flat(simulation.asked["motor"], "motor", MOTOR_HEADING).encode()


def _of_rewind(name: str) -> Callable[[Simulation], bytes]:
    """One of the files that `polepitch rewind --load --out` writes."""

    def made(simulation: Simulation) -> bytes:
        brief = replace(_motor(simulation), load=simulation.load)
        options = sweep(brief)
        return rewind_files(brief, options, pick(options))[name]

    return made


def _of_compare(name: str) -> Callable[[Simulation], bytes]:
    """One of the files that `polepitch compare --load --out` writes, with the rig if there is one."""

    def made(simulation: Simulation) -> bytes:
        entries = entries_of(simulation, _motor(simulation))
        return compare_files(entries, simulation.load, simulation.rig, simulation.layout.speed_rpm)[name]

    return made


SIMULATION_FILES: dict[str, Callable[[Simulation], bytes]] = {
    "motor.toml": _motor_file,
    "load.toml": lambda simulation: load_text(simulation.load).encode(),
    "rig.toml": lambda simulation: rig_text(_rig(simulation)).encode(),
    **{name: _of_rewind(name) for name in ("rewind.html", "rewind.json", "sweep.csv")},
    **{name: _of_compare(name) for name in ("compare.html", "compare.json", "compare.csv")},
}
