"""What all parts to print share: the options, the part itself, plane shapes whose area is exact, and files.

Binary STL, and 3MF with its unit: the same part gives the same bytes, always.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from io import BytesIO
from math import acos, isfinite, pi, sin
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import numpy as np
from shapely import LinearRing, Polygon

from geometry.curves.curve import Curve, polyline
from geometry.machine.layout import Layout
from geometry.parts.lettering import Shape, arc_text
from geometry.parts.meshes import Mesh

SAGITTA = 5e-6  # m, most that a chord of a printed part leaves its arc
LETTER_HEIGHTS = tuple(
    millimetres * 1e-3 for millimetres in (6, 5, 4.5, 4, 3.5, 3, 2.5)
)  # m, largest that fits wins
MARGIN = 0.5e-3  # m, from a letter to any edge
LARGEST_CLEARANCE = 1e-3  # m; more is a slip of the unit
GLUE_LINE = 0.15e-3  # m, thickness of glue under magnets, cover and carrier; common practice, no source
MAGNET_TOLERANCE = 0.1e-3  # m, either way, of a bought magnet's thickness, plating included; makers' usual limit


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintOptions:
    """How parts are printed; all lengths in m.

    pocket_clearance: on a pocket's diameter, 0 to 1 mm. floor: under the magnets. min_wall: least material
    between pockets, and to rim and bore, once the clearance is taken off. letter_depth: of engraved letters,
    at most a third of the floor. cover: thickness of the cover. running_clearance: least air that must stay
    between turning and standing parts. plate: thickness of the former's plate. peg_rise: by how much cores and
    islands stand above the bundle. exit_diameter: of a hole for a wire's end, unless wire or bundle call for another.
    Raises ValueError that names the option, what it must be and what it was.
    """

    pocket_clearance: float = 0.2e-3
    floor: float = 1.2e-3
    min_wall: float = 0.4e-3
    letter_depth: float = 0.4e-3
    cover: float = 0.6e-3
    running_clearance: float = 0.4e-3
    plate: float = 2.5e-3
    peg_rise: float = 0.0
    exit_diameter: float = 1.5e-3

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            may_vanish = field.name in ("pocket_clearance", "peg_rise")
            if not (isfinite(value) and (value > 0 or (may_vanish and value == 0))):
                bound = "zero or more" if may_vanish else "above zero"
                raise ValueError(f"{field.name} must be {bound}, was {value * 1e3:g} mm")
        _at_most("pocket_clearance", self.pocket_clearance, LARGEST_CLEARANCE, "on the diameter")
        _at_most("letter_depth", self.letter_depth, self.floor / 3, "a third of floor")
        _at_most("letter_depth", self.letter_depth, self.plate / 3, "a third of plate")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part to print, lying flat on z = 0.

    mesh: in mm. volume: m³, from the plane shapes, not from the mesh. deep: where no cut for splitting may
    pass (pockets, cores, legs of a channel, holes; m). thickness: of the plate that a cut would show, m. notes: for the
    builder.
    """

    name: str
    mesh: Mesh
    volume: float
    deep: Shape
    thickness: float
    notes: tuple[str, ...] = ()


def disc(center: complex, radius: float) -> Polygon:
    """A circle as a polygon of the circle's own area, m."""
    half = acos(1 - min(SAGITTA / radius, 0.1))
    count = 4 * max(6, int(np.ceil(pi / half / 4)))
    reach = radius * (2 * pi / count / sin(2 * pi / count)) ** 0.5
    points = center + reach * np.exp(2j * pi * np.arange(count) / count)
    return Polygon(np.column_stack((points.real, points.imag)))


def annulus(inner: float, outer: float) -> Polygon:
    """What lies between two circles about the shaft, m."""
    return Polygon(disc(0, outer).exterior, [disc(0, inner).exterior])


def annulus_area(inner: float, outer: float) -> float:
    """m²."""
    return pi * (outer**2 - inner**2)


def region(curve: Curve) -> Polygon:
    """What a closed curve encloses, m."""
    points = polyline(curve, step=1.0, sagitta=SAGITTA)
    return Polygon(LinearRing(np.column_stack((points.real, points.imag))))


def ring_texts(
    words: str,
    radii: Sequence[tuple[float, int]],
    angles: Iterable[float],
    mirrored: bool = False,
    maximum: float = 1.0,
) -> Iterator[Shape]:
    """Places for words bent about the shaft, largest letters first.

    radii: circles (m) that the text lies against, each with +1 when it lies outside of the circle, 0 on it,
    −1 inside. angles: polar angles of the middle of the words, rad. mirrored: to be read from below. most:
    greatest height, m.
    """
    places = list(angles)
    for height in (height for height in LETTER_HEIGHTS if height <= maximum):
        for radius, side in radii:
            bulge = 0.1 * height**2 / radius  # by which the corners of a letter leave the ring
            middle = radius + side * (height / 2 + bulge + 1.02 * MARGIN)
            if middle > height:
                yield from (arc_text(words, height, middle, angle, mirrored) for angle in places)


def check_air_gap(layout: Layout, options: PrintOptions) -> float:
    """Air left between cover and nearest copper or core, m; ValueError when it is less than must stay.

    The carrier's face stands nearer the copper than a magnet of nominal thickness, by the magnets' tolerance; on
    it come the cover's glue line and the cover.
    """
    under = MAGNET_TOLERANCE + GLUE_LINE
    left = layout.air_gap - under - options.cover - options.peg_rise
    if left < options.running_clearance - 1e-9:
        cores = f" and cores that rise {options.peg_rise * 1e3:g} mm" if options.peg_rise else ""
        raise ValueError(
            f"cover ({options.cover * 1e3:g} mm){cores} must leave {options.running_clearance * 1e3:g} mm "
            f"of the air gap ({layout.air_gap * 1e3:g} mm) to run in, but with {under * 1e3:g} mm for glue and "
            f"the magnets' tolerance left {left * 1e3:.3g} mm: "
            "take a thinner cover or a larger air gap"
        )
    return left


def _at_most(name: str, value: float, limit: float, meaning: str) -> None:
    if value > limit * (1 + 1e-9):
        raise ValueError(f"{name} must be at most {limit * 1e3:.3g} mm ({meaning}), was {value * 1e3:.3g} mm")


_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>\n"
)
_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip archive can hold


def stl_bytes(part: Part) -> bytes:
    """The part as binary STL, in mm (the format itself has no unit; programs take millimetres)."""
    mesh = part.mesh
    points = mesh.corners_mm[mesh.triangles]
    normals = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets = np.zeros(
        len(points), dtype=[("normal", "<f4", 3), ("points", "<f4", (3, 3)), ("attribute", "<u2")]
    )
    facets["normal"] = normals / np.where(lengths > 0, lengths, 1.0)
    facets["points"] = points
    header = f"{part.name}, millimetres".encode("ascii").ljust(80)
    return header + np.uint32(len(points)).astype("<u4").tobytes() + facets.tobytes()


def threemf_bytes(part: Part) -> bytes:
    """The part as 3MF (core specification 1.x), unit millimetre."""
    files = {
        "[Content_Types].xml": _CONTENT_TYPES,
        "_rels/.rels": _RELATIONSHIPS,
        "3D/3dmodel.model": _model(part),
    }
    packed = BytesIO()
    with ZipFile(packed, "w") as archive:
        for path, text in files.items():
            entry = ZipInfo(path, _DATE)
            entry.create_system = 0
            entry.compress_type = ZIP_DEFLATED
            archive.writestr(entry, text.encode(), compresslevel=6)
    return packed.getvalue()


def _model(part: Part) -> str:
    corners = "".join(
        f'<vertex x="{x:.4f}" y="{y:.4f}" z="{z:.4f}"/>' for x, y, z in part.mesh.corners_mm.tolist()
    )
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in part.mesh.triangles.tolist())
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<model unit="millimeter" xml:lang="en-US" '
        'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
        f'<metadata name="Title">{part.name}</metadata>'
        f'<resources><object id="1" type="model" name="{part.name}"><mesh>'
        f"<vertices>{corners}</vertices><triangles>{triangles}</triangles></mesh></object></resources>"
        '<build><item objectid="1"/></build></model>\n'
    )
