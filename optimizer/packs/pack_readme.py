"""The pack's own README: what each file is, in what order to use them, how to make them again."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.drawing.layout_drawing import CUTTING
from geometry.parts.carrier import check_back
from geometry.parts.solids import MAGNET_TOLERANCE, check_air_gap
from optimizer.building.pack_parts import PackOptions
from optimizer.jobs.versions import SEED, versions
from optimizer.reports.pages import page
from optimizer.reports.report import MachineReport

WHAT = {
    "README.md": "this text",
    "brief.toml": "what was at hand and asked for",
    "layout.toml": "the machine: every number, and all that the other files follow from",
    "template.pdf": "the paper template, true size, on as many sheets as it takes; the first page is an overview",
    "template.dxf": "the same for a laser cutter or a drawing program, millimetres",
    "template.svg": "the same for a browser or a vector program, true size",
    "template_side_2.pdf": "the template of the winding on the carrier's other side",
    "template_side_2.dxf": "the same, millimetres",
    "template_side_2.svg": "the same, true size",
    "plate.dxf": "the steel plate, to cut; its thickness stands in the drawing",
    "plate.svg": "the same, true size",
    "winding_card.html": "the winder's card; open it and print it",
    "parts.csv": "bill of materials, for a spreadsheet",
    "report.html": "figures, pictures, checks and cautions; open it in a browser",
    "result.json": "the whole search for programs: the best of every kind, and why this one won",
    "versions.json": "the programs that made this",
}
PRINTED = {
    "carrier": "holds the magnets",
    "carrier_second": "holds the magnets that face those of the first",
    "cover": "closes the pockets; it and its glue are part of the air gap",
    "former": "to wind on; its notes above say whether it may stay",
    "former_side_2": "to wind the other side's coils on",
}


def readme_text(report: MachineReport, options: PackOptions, names: Sequence[str], *, searched: bool) -> str:
    """The text in Markdown; `names` are the other files of the pack. searched: whether a search found the layout."""
    layout, printing = report.layout, report.parts.printing
    return page(
        "pack_readme.md",
        title=layout.title,
        figures=report.figures,
        card=report.card,
        held=report.held,
        warnings=report.warnings,
        notes=[(part.name, part.notes) for part in report.parts.whole],
        files=[(name, _what(name)) for name in ("README.md", *names)],
        command=template_command(options, "brief.toml" in names),
        searched=searched,
        seed=SEED,
        versions=versions(),
        hazards=report.hazards,
        recess_mm=MAGNET_TOLERANCE * 1e3,
        clear_mm=check_air_gap(layout, printing) * 1e3,
        clear_back_mm=check_back(layout, printing) * 1e3 if layout.sides > 1 else None,
        kerf_mm=options.kerf * 1e3,
        cutting=". ".join(CUTTING),
    )


def template_command(options: PackOptions, brief: bool = False) -> str:
    """The command that makes the pack again from its own `layout.toml` (and `brief.toml`)."""
    usual = PackOptions()
    paper = "" if options.paper == usual.paper else options.paper
    clearance = "" if options.pocket_clearance == usual.pocket_clearance else _mm(options.pocket_clearance)
    given = {
        "--brief": "brief.toml" if brief else "",
        "--paper": paper,
        "--pocket-clearance": clearance,
        "--kerf": _mm(options.kerf) if options.kerf else "",
        "--cover": "" if options.cover is None else _mm(options.cover),
        "--bed": "" if options.bed is None else "x".join(map(_mm, options.bed)),
    }
    flags = [f" {flag} {value}" for flag, value in given.items() if value]
    return f"polepitch template layout.toml --out pack{''.join(flags)}{' --even-so' if options.even_so else ''}"


def _mm(metres: float) -> str:
    return f"{metres * 1e3:.6g}"


def _what(name: str) -> str:
    if name in WHAT:
        return WHAT[name]
    stem, _, kind = name.partition(".")
    part = max((name for name in PRINTED if stem.startswith(name)), key=len)
    piece = stem.removeprefix(part).strip("_")
    cut = f", piece {piece.replace('_', ' ')}" if piece else ""
    unit = "STL in millimetres" if kind == "stl" else "3MF, which carries its unit"
    return f"to print{cut}: {PRINTED[part]} ({unit})"
