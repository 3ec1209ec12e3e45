"""What all parts to print share: the part itself, plane shapes whose area is exact, and files.

Binary STL, and 3MF with its unit: the same part gives the same bytes, always.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from math import acos, pi, sin
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import numpy as np
from shapely import LinearRing, Polygon

from geometry.curves.curve import Curve, polyline
from geometry.parts.lettering import Shape, arc_text
from geometry.parts.meshes import Mesh

SAGITTA = 5e-6  # m, most that a chord of a printed part leaves its arc
LETTER_HEIGHTS = tuple(
    millimetres * 1e-3 for millimetres in (6, 5, 4.5, 4, 3.5, 3, 2.5)
)  # m, largest that fits wins
MARGIN = 0.5e-3  # m, from a letter to any edge


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
