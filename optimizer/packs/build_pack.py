"""The build pack: all that someone who was not there needs to build one machine, as files by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from geometry.drawing.layout_drawing import CUTTING, draw_plate
from geometry.drawing.offset import with_kerf
from geometry.drawing.primitives import Drawing
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.parts.pockets import MAGNET_TOLERANCE, check_air_gap, check_back
from geometry.parts.solids import stl_bytes, threemf_bytes
from geometry.writers.dxf import dxf_bytes
from geometry.writers.pdf import pdf_bytes
from geometry.writers.svg import svg_text
from optimizer.brief.brief import Brief, brief_text
from optimizer.building.pack_parts import PackFault, PackOptions, PackParts, WillBurst, pack_parts
from optimizer.building.parts_list import parts_csv
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.chain import evaluation
from optimizer.evaluation.retention import retention
from optimizer.jobs.documents import SEED, versions, versions_json
from optimizer.loads.hazards import Hazard
from optimizer.packs.result_files import ShownResult, template_drawings
from optimizer.reports.pages import page
from optimizer.reports.report import MachineReport, card_html, machine_report_html, report_html
from optimizer.words.caution_words import burst_fault

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
ZIP_NAME = "build_pack.zip"
_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip archive can hold


def readme_text(report: MachineReport, options: PackOptions, names: Sequence[str], *, searched: bool) -> str:
    """The text in Markdown; `names` are the other files of the pack. searched: whether a search found the layout."""
    layout, printing = report.card.layout, report.parts.printing
    return page(
        "pack_readme.md",
        title=layout.title,
        figures=report.card.figures,
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


@dataclass(frozen=True, slots=True)
class Pack:
    """The files of a pack by name, what the builder must be warned of, and what bites at the machine's own speed."""

    files: dict[str, bytes]
    warnings: tuple[str, ...]
    hazards: tuple[Hazard, ...] = ()


def build_pack(
    layout: Layout, options: PackOptions, brief: Brief | None = None, shown: ShownResult | None = None
) -> Pack:
    """All files of a pack. The same input gives the same bytes.

    brief: gives bed and prices, and is handed on. shown: by the search that found the layout; its report stands
    in for that of the machine alone. Raises PackFault that names the option, what it must be and what it was.
    """
    brief = brief or (shown.result.brief if shown else None)
    _require_holding(layout, options)
    parts = pack_parts(layout, options, brief.bed if brief else None)
    card = shown.card if shown else winding_card(evaluation(layout))
    drawings = shown.drawings if shown else template_drawings(layout)
    machine = MachineReport.of(card, parts, brief)
    made = shown.files if shown else _texts(layout, brief)
    files = {name: made[name] for name in ("brief.toml", "layout.toml") if name in made}
    try:
        files |= _drawings(layout, drawings, options, made)
    except ValueError as error:
        raise PackFault(str(error)) from error
    files |= _printed(parts)
    files["winding_card.html"] = card_html(layout.title, drawings, card).encode()
    files["parts.csv"] = parts_csv(machine.listed)
    report = report_html(shown.result, shown.drawn, card, machine) if shown else machine_report_html(machine)
    files["report.html"] = report.encode()
    if shown:
        files["result.json"] = made["result.json"]
    files["versions.json"] = versions_json()
    files["README.md"] = readme_text(machine, options, list(files), searched=shown is not None).encode()
    return Pack(files, machine.warnings, machine.hazards)


def _texts(layout: Layout, brief: Brief | None) -> dict[str, bytes]:
    """What the command reads to make the pack again."""
    briefed = {} if brief is None else {"brief.toml": brief_text(brief).encode()}
    return briefed | {"layout.toml": layout_text(layout).encode()}


def _require_holding(layout: Layout, options: PackOptions) -> None:
    held = retention(layout)
    if held.burst_rpm <= layout.speed_rpm and not options.even_so:
        raise WillBurst(burst_fault(held))


def zip_bytes(files: dict[str, bytes], folder: str = "build_pack") -> bytes:
    """The files in one archive, in a folder of its own; the same files give the same bytes."""
    packed = BytesIO()
    with ZipFile(packed, "w") as archive:
        for name, content in files.items():
            entry = ZipInfo(f"{folder}/{name}", _DATE)
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            entry.compress_type = ZIP_DEFLATED
            archive.writestr(entry, content, compresslevel=6)
    return packed.getvalue()


def _drawings(
    layout: Layout, drawings: Sequence[Drawing], options: PackOptions, made: Mapping[str, bytes]
) -> dict[str, bytes]:
    """Templates and plate; a template's DXF that is `made` already is taken, unless it is to be moved for a kerf."""
    files: dict[str, bytes] = {}
    for side, drawing in enumerate(drawings):
        stem = "template_side_2" if side else "template"
        files[f"{stem}.pdf"] = pdf_bytes(drawing, options.paper, title=drawing.title)
        files |= _cut_files(drawing, options, stem, {} if options.kerf else made)
    plate = draw_plate(layout)
    return files if plate is None else files | _cut_files(plate, options, "plate", {})


def _cut_files(drawing: Drawing, options: PackOptions, stem: str, made: Mapping[str, bytes]) -> dict[str, bytes]:
    cut = with_kerf(drawing, options.kerf)
    return {f"{stem}.dxf": made.get(f"{stem}.dxf") or dxf_bytes(cut), f"{stem}.svg": svg_text(cut).encode()}


def _printed(parts: PackParts) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for part in parts.pieces:
        files |= {f"{part.name}.stl": stl_bytes(part), f"{part.name}.3mf": threemf_bytes(part)}
    return files
