"""Files to take: the same functions, and so the same bytes, as the command line's."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import TypedDict

from geometry.drawing.layout_drawing import draw_layout
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.writers.dxf import dxf_bytes
from geometry.writers.pdf import pdf_bytes
from geometry.writers.svg import svg_text
from optimizer.answers.bounds import too_much_to_draw
from optimizer.answers.flat import Flat
from optimizer.answers.page_values import brief_of, layout_of
from optimizer.answers.task import Tell, Told
from optimizer.brief.brief import brief_text
from optimizer.building.pack_parts import PackFault, PackOptions, WillBurst
from optimizer.packs.build_pack import ZIP_NAME, build_pack, zip_bytes
from optimizer.packs.result_files import ShownResult, result_files
from optimizer.reports.load_pack import load_files
from optimizer.search.load_search import LoadResult
from optimizer.search.result import Result

SEARCH_ZIP = "search.zip"


class Wanted(TypedDict):
    """What is asked for: a name of `NAMES`, with the values it is made from.

    even_so: whether to make what bursts at its own speed. result: pickled, of the brief.
    """

    name: str
    design: Flat
    brief: Flat
    paper: str
    even_so: bool
    result: bytes | None


def take(wanted: Wanted, tell: Tell) -> bytes:
    """The bytes of one file. Raises `Told` when it cannot be made."""
    del tell
    try:
        return NAMES[wanted["name"]](wanted)
    except WillBurst as fault:
        raise Told([("", f"{fault}; or tick the box above to have them made even so")]) from fault
    except PackFault as fault:
        raise Told([("", str(fault))]) from fault


def _layout_file(wanted: Wanted) -> bytes:
    try:
        return layout_text(layout_of(wanted["design"])).encode()
    except ValueError as error:
        raise Told([("", str(error))]) from error


def _brief_file(wanted: Wanted) -> bytes:
    return brief_text(brief_of(wanted["brief"])).encode()


def _fitting(wanted: Wanted) -> Layout:
    """The design, once it fits: nothing is built from one that does not."""
    layout = layout_of(wanted["design"])
    if words := too_much_to_draw(layout):
        raise Told([("", words)])
    if found := violations(layout):
        raise Told([(violation.key, violation.message) for violation in found])
    return layout


def _template_dxf(wanted: Wanted) -> bytes:
    return dxf_bytes(draw_layout(_fitting(wanted)))


def _template_svg(wanted: Wanted) -> bytes:
    return svg_text(draw_layout(_fitting(wanted))).encode()


def _template_pdf(wanted: Wanted) -> bytes:
    drawing = draw_layout(_fitting(wanted))
    return pdf_bytes(drawing, wanted["paper"], title=drawing.title)


def _options(wanted: Wanted) -> PackOptions:
    return PackOptions(paper=wanted["paper"], even_so=wanted["even_so"])


def _pack(wanted: Wanted) -> dict[str, bytes]:
    return build_pack(_fitting(wanted), _options(wanted)).files


def _of_pack(name: str) -> Callable[[Wanted], bytes]:
    def made(wanted: Wanted) -> bytes:
        files = _pack(wanted)
        if name not in files:
            raise Told([("", f"the build pack of this design has no {name}")])
        return files[name]

    return made


def _result(wanted: Wanted) -> tuple[Result, LoadResult | None]:
    """What `search` kept."""
    if wanted["result"] is None:
        raise Told([("", "this needs a search: press Search first, with the brief as it stands")])
    return pickle.loads(wanted["result"])


def _of_search(name: str) -> Callable[[Wanted], bytes]:
    return lambda wanted: result_files(ShownResult.of(_result(wanted)[0]))[name]


def _search_zip(wanted: Wanted) -> bytes:
    """What `optimize --pack` writes to its folder."""
    result, for_load = _result(wanted)
    shown = ShownResult.of(result)
    pack = build_pack(shown.machine.layout, PackOptions(even_so=wanted["even_so"]), found=shown)
    files = result_files(shown) | {f"pack/{name}": content for name, content in pack.files.items()}
    if for_load is not None:
        files |= load_files(for_load, shown.machine)
    return zip_bytes(files, "search")


NAMES: dict[str, Callable[[Wanted], bytes]] = {
    "layout.toml": _layout_file,
    "brief.toml": _brief_file,
    "template.pdf": _template_pdf,
    "template.dxf": _template_dxf,
    "template.svg": _template_svg,
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
