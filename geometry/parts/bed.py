"""Whether a part fits the printer's bed, and how to cut one that does not into pieces to glue."""

from __future__ import annotations

from cmath import rect
from dataclasses import replace
from math import isfinite, pi, radians, tan

import numpy as np
from shapely import LineString, Polygon
from shapely.affinity import rotate

from geometry.parts.meshes import Bore, Mesh, piece_of
from geometry.parts.part_words import SEAM_NOTES
from geometry.parts.solids import Part

SEAM_CLEAR = 1e-3  # m, usual least from a seam to a pocket, core, leg or hole
LEAST_SEAM_CLEAR = 0.6e-3  # m, the same where walls are thin: still more than a printed line
PIN_DIAMETER = 1.9e-3  # m, takes a pin cut from filament of 1.75 mm
PIN_DEPTH = 5e-3  # m, into each of the two faces
PIN_WALL = 0.8e-3  # m, least material around a pin
OBSTACLES = "pockets, cores, holes or words"
FINER = 4  # directions tried in a degree where gaps are narrow
EVENNESS = 1.35  # largest piece over an equal share, at most


class NoSeamError(ValueError):
    """A part that cannot be cut. reason: why, in words."""

    def __init__(self, part: Part, count: int, reason: str) -> None:
        super().__init__(
            f"{part.name} cannot be cut into {count} pieces without cutting {OBSTACLES}: {reason}"
        )
        self.reason = reason


def check_bed(part: Part, bed_mm: tuple[float, float]) -> str | None:
    """None when the part fits on a bed of x × y mm, turned in any direction; else a sentence that says so.

    Raises ValueError when the bed is not two numbers above zero.
    """
    if len(bed_mm) != 2 or not all(isfinite(side) and side > 0 for side in bed_mm):
        raise ValueError(f"bed_mm must be two lengths above zero, was {bed_mm}")
    if _fitting_turn(part, bed_mm) is not None:
        return None
    size = np.ptp(part.mesh.corners_mm, axis=0)
    return (
        f"{part.name} measures {size[0]:.1f} × {size[1]:.1f} mm and does not fit a bed of "
        f"{bed_mm[0]:g} × {bed_mm[1]:g} mm, however it is turned"
    )


def _fitting_turn(part: Part, bed_mm: tuple[float, float]) -> int | None:
    """The first of 180 degrees at which the part's bounding box lies within the bed, if any."""
    flat = part.mesh.corners_mm[:, 0] + 1j * part.mesh.corners_mm[:, 1]
    turned = flat[:, None] * np.exp(1j * np.radians(np.arange(180)))
    fits = (np.ptp(turned.real, axis=0) <= bed_mm[0]) & (np.ptp(turned.imag, axis=0) <= bed_mm[1])
    return int(np.argmax(fits)) if np.any(fits) else None


def _laid_out(part: Part, bed_mm: tuple[float, float]) -> Part:
    """The part turned about the shaft, so that its file fits the bed as it is; as it was where it fits so."""
    degrees = _fitting_turn(part, bed_mm)
    if not degrees:
        return part
    flat = part.mesh.corners_mm[:, 0] + 1j * part.mesh.corners_mm[:, 1]
    flat = flat * np.exp(1j * radians(degrees))
    corners = np.column_stack((flat.real, flat.imag, part.mesh.corners_mm[:, 2]))
    deep = rotate(part.deep, degrees, origin=(0, 0))
    return replace(part, mesh=Mesh(corners_mm=corners, triangles=part.mesh.triangles), deep=deep)


def parts_for_bed(part: Part, bed_mm: tuple[float, float]) -> tuple[tuple[Part, ...], str | None]:
    """The part, or the two or four pieces turned to fit the bed (sides in mm), and a warning that says what was done.

    When even four pieces do not fit, or no seam avoids pockets and cores, the whole part comes back with the
    warning.
    """
    warning = check_bed(part, bed_mm)
    if warning is None:
        return (_laid_out(part, bed_mm),), None
    reason = ""
    for count in (2, 4):
        try:
            pieces = split_part(part, count)
        except NoSeamError as fault:
            reason = f" ({fault.reason})"
            continue
        if all(check_bed(piece, bed_mm) is None for piece in pieces):
            pieces = tuple(_laid_out(piece, bed_mm) for piece in pieces)
            return pieces, f"{warning}: cut into {count} pieces to glue"
    return (part,), f"{warning}, and cannot be cut into two or four pieces that do{reason}: use a larger bed"


def split_part(part: Part, count: int) -> tuple[Part, ...]:
    """The part cut along radial lines into two or four pieces with flat faces to glue.

    No line passes a pocket, core or hole, nor along the leg of a channel. Where the plate is thick enough the
    faces get holes for pins cut from filament. The pieces stay where they were, flat on z = 0; their volumes come
    from their meshes.
    Raises ValueError when the count is neither 2 nor 4, NoSeamError when no such lines exist.
    """
    if count not in (2, 4):
        raise ValueError(f"a part must be cut into 2 or 4 pieces, was {count}")
    angles = _seams(part, count)
    minimum = min((b - a) % (2 * pi) for a, b in zip(angles, [*angles[1:], angles[0]], strict=True))
    pins = {angle: _pins(part, angle, minimum) for angle in angles}
    pieces: list[Part] = []
    for number, (start, end) in enumerate(
        zip(angles, [*angles[1:], angles[0] + 2 * pi], strict=True), start=1
    ):
        bores = [*pins[start], *pins[angles[number % count]]]
        mesh = piece_of(part.mesh, _sector(start, end, 2 * _radii(part)[1]), bores)
        pieces.append(
            replace(
                part, name=f"{part.name}_{number}_of_{count}", mesh=mesh, volume=mesh_volume(mesh),
                notes=(*part.notes, SEAM_NOTES[bool(bores)]),
            )
        )  # fmt: skip
    return tuple(pieces)


def mesh_volume(mesh: Mesh) -> float:
    """Volume in m³ that a mesh encloses."""
    a, b, c = (mesh.corners_mm[mesh.triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6 * 1e-9


def _radii(part: Part) -> tuple[float, float]:
    """Bore and rim of a part about the shaft, m."""
    distances = np.hypot(part.mesh.corners_mm[:, 0], part.mesh.corners_mm[:, 1]) * 1e-3
    return float(distances.min()), float(distances.max())


def _seams(part: Part, count: int) -> list[float]:
    """Polar angles of the seams, rad: the most even, then the farthest from pockets, cores and holes.

    Where the usual clearance leaves none, in the middle of gaps that leave less. Raises NoSeamError.
    """
    clear = {float(at): room for at in range(360) if (room := _clearance(part, radians(at))) >= SEAM_CLEAR}
    if (seams := _most_even(clear, count)) is not None:
        return seams
    middles = _gap_middles(part)
    clear = {at: room for at, room in middles.items() if room >= LEAST_SEAM_CLEAR}
    if (seams := _most_even(clear, count)) is not None:
        return seams
    if clear:
        raise NoSeamError(part, count, f"the gaps between {OBSTACLES} do not lie evenly enough")
    needs, has = 2e3 * LEAST_SEAM_CLEAR, 2e3 * max(middles.values())
    raise NoSeamError(part, count, f"a seam needs {needs:g} mm between {OBSTACLES}, has {has:.2f} mm")


def _gap_middles(part: Part) -> dict[float, float]:
    """The directions, in degrees, that are farther from pockets, cores and holes than those beside them; how far, m."""
    fine = [_clearance(part, radians(step / FINER)) for step in range(360 * FINER)]
    return {
        step / FINER: room
        for step, room in enumerate(fine)
        if fine[step - 1] <= room >= fine[(step + 1) % len(fine)]
    }


def _most_even(clear: dict[float, float], count: int) -> list[float] | None:
    """So many of the directions (degrees, with their clearances in m) that part a circle evenly, rad."""
    best: tuple[float, float, list[float]] | None = None
    for first in clear:
        ideal = [first + k * 360 / count for k in range(count)]
        seams = sorted({min(clear, key=lambda d, a=angle: abs((d - a + 180) % 360 - 180)) for angle in ideal})
        if len(seams) == count:
            widest = max((b - a) % 360 for a, b in zip(seams, [*seams[1:], seams[0]], strict=True))
            score = (round(widest * count / 360, 2), -round(min(clear[d] for d in seams), 6), seams)
            best = score if best is None else min(best, score)
    if best is None or best[0] > EVENNESS or (best[2][1] - best[2][0]) > 180:
        return None
    return [radians(degree) for degree in best[2]]


def _clearance(part: Part, angle: float) -> float:
    if part.deep.is_empty:
        return SEAM_CLEAR
    tip = rect(_radii(part)[1], angle)
    return LineString([(0, 0), (tip.real, tip.imag)]).distance(part.deep)


def _sector(start: float, end: float, reach: float) -> Polygon:
    points = [0j, *(rect(reach, start + (end - start) * step / 16) for step in range(17))]
    return Polygon([(z.real, z.imag) for z in points])


def _pins(part: Part, angle: float, piece: float) -> list[Bore]:
    """Holes for the innermost and the outermost pin that have enough material around them.

    piece: least angle of a piece, rad: near the shaft the holes of one seam would meet those of the next.
    """
    if part.thickness < PIN_DIAMETER + 2 * PIN_WALL:
        return []
    inner, outer = _radii(part)
    inset, across = PIN_DIAMETER / 2 + PIN_WALL, rect(1, angle + pi / 2)
    nearest = max(inner + inset, (PIN_DEPTH + inset) / tan(min(piece, pi) / 2))
    found: list[Bore] = []
    for radius in np.arange(nearest, outer - 2 * inset, 0.5e-3).tolist():
        ends = [rect(radius, angle) + side * PIN_DEPTH * across for side in (1, -1)]
        line = LineString([(z.real, z.imag) for z in ends])
        if abs(ends[0]) < outer - inset and (part.deep.is_empty or line.distance(part.deep) >= inset):
            found.append(
                Bore(
                    middle=rect(radius, angle), height=part.thickness / 2, direction=angle + pi / 2,
                    diameter=PIN_DIAMETER, length=2 * PIN_DEPTH,
                )
            )  # fmt: skip
    if not found:
        return []
    pair = [found[0], found[-1]]
    return pair if abs(pair[1].middle - pair[0].middle) > 3 * PIN_DIAMETER else pair[:1]
