"""Files of parts to print: binary STL, and 3MF with its unit. The same part gives the same bytes, always."""

from __future__ import annotations

from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import numpy as np

from geometry.parts.solids import Part

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
