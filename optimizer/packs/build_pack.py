"""The build pack: all that someone who was not there needs to build one machine, as files by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from geometry.drawing.layout_drawing import draw_plate
from geometry.drawing.offset import with_kerf
from geometry.drawing.primitives import Drawing
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.parts.part_files import stl_bytes, threemf_bytes
from geometry.writers.dxf import dxf_bytes
from geometry.writers.pdf import pdf_bytes
from geometry.writers.svg import svg_text
from optimizer.brief.brief import Brief, brief_text
from optimizer.building.pack_parts import PackFault, PackOptions, PackParts, WillBurst, pack_parts
from optimizer.building.parts_list import parts_csv
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.chain import evaluation
from optimizer.evaluation.retention import retention
from optimizer.jobs.versions import versions_json
from optimizer.loads.hazards import Hazard
from optimizer.packs.pack_readme import readme_text
from optimizer.packs.result_files import ShownResult, template_drawings
from optimizer.reports.report import MachineReport, card_html, machine_report_html, report_html
from optimizer.words.caution_words import burst_fault

ZIP_NAME = "build_pack.zip"
_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip archive can hold


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
