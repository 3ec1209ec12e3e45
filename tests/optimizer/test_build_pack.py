"""The build pack: every file opens and agrees with the layout, and the same input gives the same bytes."""

from __future__ import annotations

import csv
import hashlib
import json
import re
import subprocess
import sys
from io import BytesIO, StringIO
from pathlib import Path
from xml.etree import ElementTree
from zipfile import ZipFile

import ezdxf
import pytest
import trimesh
from family import FAMILY
from layouts import lantern_layout
from tiers import shared

from geometry.machine.layout_file import layout_from_text
from optimizer.brief.brief import brief_from_text, read_brief
from optimizer.building.pack_parts import PackFault, PackOptions, fitting_cover, pack_parts
from optimizer.packs.build_pack import build_pack, template_command, zip_bytes

ROOT = Path(__file__).parents[2]
LANTERN = ROOT / "studies" / "lantern" / "brief.toml"
NAMES = [
    "layout.toml", "template.pdf", "template.dxf", "template.svg", "carrier.stl", "carrier.3mf", "cover.stl",
    "cover.3mf", "former.stl", "former.3mf", "winding_card.html", "parts.csv", "report.html", "versions.json",
    "README.md",
]  # fmt: skip


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return packed()


@shared
def packed() -> dict[str, bytes]:
    """The pack of the lantern with wedge coils and usual options."""
    return build_pack(lantern_layout("wedge"), PackOptions()).files


def test_all_files_are_there(files: dict[str, bytes]) -> None:
    assert list(files) == NAMES


def test_the_layout_reads_back(files: dict[str, bytes]) -> None:
    assert layout_from_text(files["layout.toml"].decode(), "layout.toml") == lantern_layout("wedge")


def test_drawings_open(files: dict[str, bytes]) -> None:
    document = ezdxf.read(StringIO(files["template.dxf"].decode()))  # pyright: ignore[reportPrivateImportUsage]
    assert not document.audit().errors
    rim = [c.dxf.radius for c in document.modelspace().query("CIRCLE") if c.dxf.layer == "CARRIER_OUTLINE"]
    assert max(rim) == pytest.approx(55)
    svg = ElementTree.fromstring(files["template.svg"])
    assert any(float(c.get("r", 0)) == 55 for c in svg.iter("{http://www.w3.org/2000/svg}circle"))
    assert files["template.pdf"].startswith(b"%PDF-")
    assert b"/PrintScaling /None" in files["template.pdf"]


@pytest.mark.parametrize("name", ["carrier", "cover", "former"])
def test_parts_open(files: dict[str, bytes], name: str) -> None:
    stl = trimesh.load_mesh(BytesIO(files[f"{name}.stl"]), file_type="stl")
    stl.merge_vertices()
    assert stl.is_watertight
    with ZipFile(BytesIO(files[f"{name}.3mf"])) as archive:
        model = ElementTree.fromstring(archive.read("3D/3dmodel.model"))
    assert model.get("unit") == "millimeter"
    listed = {row["item"]: row for row in csv.DictReader(StringIO(files["parts.csv"].decode()))}
    assert float(listed[name]["quantity"]) == pytest.approx(stl.volume * 1e-3, rel=5e-3)


def test_readme_tells_of_every_file_and_how_to_repeat(files: dict[str, bytes]) -> None:
    text = files["README.md"].decode()
    assert re.findall(r"^\| `(.+?)` \|", text, re.M) == ["README.md", *NAMES[:-1]]
    assert "    polepitch template layout.toml --out pack\n" in text
    assert "in layers. To cut, one set of layers at a time: CARRIER_OUTLINE with POCKETS_NORTH" in text
    assert "No random number is drawn" in text
    for words in ("pacemakers", "pinch and shatter", "guard", "Local codes", "Windings get hot"):
        assert words in text
    made = json.loads(files["versions.json"])
    assert made["versions"]["ezdxf"] in text
    assert "no seed" in made["seed"]


@pytest.mark.parametrize("name", ["report.html", "winding_card.html"])
def test_pages_need_nothing_else(files: dict[str, bytes], name: str) -> None:
    html = files[name].decode()
    assert not re.search(r"""(src|href)=["'](?!data:|#)""", html)
    assert "{{" not in html
    assert "{%" not in html


def test_no_machine_paths_in_any_file(files: dict[str, bytes]) -> None:
    for name, content in files.items():
        assert str(ROOT).encode() not in content, name


@pytest.mark.slow
def test_brief_prices_and_bed_go_in() -> None:
    text = LANTERN.read_text(encoding="utf-8") + (
        '[printer]\nbed_mm = [100, 100]\n[prices]\ncurrency = "EUR"\nmagnet = 0.5\n'
    )
    brief = brief_from_text(text.replace("length_m = 60", "length_m = 10"), "brief.toml")
    pack = build_pack(lantern_layout("serpentine", title="Two | halves"), PackOptions(), brief)
    assert brief_from_text(pack.files["brief.toml"].decode(), "brief.toml") == brief
    assert {"carrier_1_of_2.stl", "carrier_2_of_2.3mf", "former_2_of_2.stl"} <= set(pack.files)
    assert "carrier.stl" not in pack.files
    readme = pack.files["README.md"].decode()
    assert "Two \\| halves" in readme
    assert "--brief brief.toml" in readme
    for warning in pack.warnings:
        assert f"**Mind: {warning}.**" in readme
    starts = [
        "carrier measures",
        "cover measures",
        "former measures",
        "the carrier is glued",
        "the brief's wire is",
    ]
    assert len(pack.warnings) == len(starts)
    assert all(words.startswith(start) for words, start in zip(pack.warnings, starts, strict=True))
    assert "total,,,,,,4.00,EUR" in pack.files["parts.csv"].decode()


@pytest.mark.slow
def test_a_bed_that_nothing_fits() -> None:
    layout = lantern_layout("serpentine")
    with pytest.raises(PackFault, match=r"^bed: carrier measures 110\.0 × 110\.0 mm .* use a larger bed$"):
        pack_parts(layout, PackOptions(bed=(0.05, 0.05)))
    made = pack_parts(layout, PackOptions(), (0.05, 0.05))
    assert len(made.pieces) == len(made.warnings) == 3


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"pocket_clearance": 2e-3}, "pocket_clearance must be at most 1 mm"),
        ({"cover": 1.2e-3}, "cover (1.2 mm) must leave 0.4 mm of the air gap"),
        ({"kerf": -1e-3}, "kerf must be from 0 to 5 mm, was -1 mm"),
        ({"paper": "A0"}, "paper must be one of A4, Letter, was 'A0'"),
    ],
)
def test_wrong_options(options: dict[str, float], words: str) -> None:
    with pytest.raises(PackFault, match=re.escape(words)):
        build_pack(lantern_layout(), PackOptions(**options))  # type: ignore[arg-type]


def test_cover_of_a_narrow_air_gap() -> None:
    assert fitting_cover(1.5e-3) == 0.6e-3
    assert fitting_cover(1.05e-3) == 0.4e-3
    assert fitting_cover(0.85e-3) == 0.2e-3
    with pytest.raises(PackFault, match=r"air_gap_mm must be at least 0\.85 .*, was 0\.8"):
        fitting_cover(0.8e-3)


def test_glue_and_tolerance_are_counted_alike_everywhere(files: dict[str, bytes]) -> None:
    """1.5 mm less 0.1 mm to the carrier's face, 0.15 mm of glue and 0.6 mm of cover: 0.65 mm of air."""
    readme = files["README.md"].decode().replace("\u00a0", " ")
    (step,) = [line for line in readme.splitlines() if line.startswith("7. ")]
    assert "1.5 mm from magnet face to copper, cover and glue included" in step
    assert "that face stands 1.4 mm from the copper" in step
    assert "0.65 mm of air stay" in step
    assert "0.65 mm of air stay." in readme.partition("- **cover**")[2].partition("\n")[0]
    assert "a line of glue (0.15 mm) under it" in readme
    assert "a line of 0.15 mm under magnets and cover" in files["parts.csv"].decode()


@pytest.mark.slow
def test_kerf_is_for_cutting_alone(files: dict[str, bytes]) -> None:
    cut = build_pack(lantern_layout("wedge"), PackOptions(kerf=0.2e-3)).files
    svg = ElementTree.fromstring(cut["template.svg"])
    radii = [float(c.get("r", 0)) for c in svg.iter("{http://www.w3.org/2000/svg}circle")]
    assert 55.1 in radii
    assert cut["template.pdf"] == files["template.pdf"]
    assert "kerf of 0.2 mm" in cut["README.md"].decode()


def test_command_of_every_option() -> None:
    options = PackOptions(
        paper="Letter", kerf=0.15e-3, pocket_clearance=0.3e-3, cover=0.5e-3, bed=(0.2, 0.18)
    )
    assert template_command(options, brief=True) == (
        "polepitch template layout.toml --out pack --brief brief.toml --paper Letter --pocket-clearance 0.3 "
        "--kerf 0.15 --cover 0.5 --bed 200x180"
    )


SCRIPT = """
import hashlib, sys
sys.path[:0] = ["tests"]
from layouts import lantern_layout
from tiers import shared
from optimizer.packs.build_pack import build_pack, zip_bytes
from optimizer.building.pack_parts import PackOptions
files = build_pack(lantern_layout("wedge"), PackOptions()).files
print(hashlib.sha256(zip_bytes(files)).hexdigest())
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "more"),
    [
        ("nine wedges", set()),
        ("interleaved serpentines", set()),
        ("facing wedges", {"plate.dxf", "plate.svg", "carrier_second.stl", "carrier_second.3mf"}),
        (
            "nine wedges on each side",
            {"template_side_2.pdf", "template_side_2.dxf", "template_side_2.svg"}
            | {"former_side_2.stl", "former_side_2.3mf"},
        ),
    ],
)
def test_packs_of_the_family_hold_what_they_need(files: dict[str, bytes], name: str, more: set[str]) -> None:
    pack = build_pack(FAMILY[name], PackOptions())
    assert set(pack.files) == set(files) | more
    readme = pack.files["README.md"].decode()
    assert all(f"`{file}`" in readme for file in pack.files)
    assert ("two carriers face each other" in readme) == (name == "facing wedges")
    for page in ("README.md", "winding_card.html", "report.html"):  # at the step where the carriers meet
        told = pack.files[page].decode().replace("\u00a0", " ").replace("&nbsp;", " ")
        assert ("the two carriers stand 8 mm apart" in told) == (name == "facing wedges"), page
    assert ("3 phases in star" in readme) == (FAMILY[name].phases == 3)


@pytest.mark.slow
def test_same_bytes_in_another_process(files: dict[str, bytes]) -> None:
    mine = hashlib.sha256(zip_bytes(files)).hexdigest()
    run = subprocess.run(
        [sys.executable, "-c", SCRIPT], cwd=ROOT, capture_output=True, text=True, check=True,
        env={"PYTHONHASHSEED": "7", "PYTHONPATH": str(ROOT), "PATH": "", "TZ": "Asia/Tokyo"},
    )  # fmt: skip
    assert run.stdout.strip() == mine


def test_zip_holds_the_same(files: dict[str, bytes]) -> None:
    with ZipFile(BytesIO(zip_bytes(files))) as archive:
        assert archive.testzip() is None
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {name: archive.read(f"build_pack/{name}") for name in files} == files


def test_the_lanterns_own_brief_needs_no_bed() -> None:
    assert read_brief(LANTERN).bed is None


@pytest.mark.slow
def test_unequal_phases_are_called_by_their_letters() -> None:
    """Bundles of three phases one above the other: what A gives holds for no other."""
    files = build_pack(FAMILY["three serpentines"], PackOptions()).files
    readme = files["README.md"].decode()
    assert "rms in phase A, open circuit" in readme
    assert re.search(
        r"Check the voltage: \S+ V across A, \S+ V across B, \S+ V across C", readme.replace("\u00a0", " ")
    )
    assert "any two terminals" not in readme
    report = re.sub(r"<[^>]+>", "", files["report.html"].decode())
    assert re.search(r"^Peak\S+\sV\s*in phase A, open circuit", report.replace("\u00a0", " "), re.M)
