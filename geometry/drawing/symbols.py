"""The small signs of a drawing: crosses, arrowheads, the marks of north and south, the check line."""

from __future__ import annotations

from geometry.drawing.primitives import Circle, Path, Primitive, Text, polygon, segment

CHECK_LENGTH = 0.05  # m


def cross(center: complex, arm: float, direction: complex = 1.0) -> list[Path]:
    """Two lines of half length `arm` (m) that cross at `center`, one along `direction` (of length 1)."""
    return [segment(center - arm * along, center + arm * along) for along in (direction, 1j * direction)]


def arrowhead(middle: complex, direction: complex, size: float) -> Path:
    """An open chevron of length `size` (m), its point forward; `direction` has length 1."""
    tip, tail = middle + direction * size / 2, middle - direction * size / 2
    side = 1j * direction * 0.45 * size
    return polygon([tail + side, tip, tail - side], closed=False)


def north_mark(center: complex, size: float) -> list[Primitive]:
    """A plus in a square, `size` (m) across: the north face looks at the reader."""
    half = size / 2
    square = polygon([center + half * corner for corner in (1 + 1j, -1 + 1j, -1 - 1j, 1 - 1j)])
    return [square, *cross(center, 0.55 * half)]


def south_mark(center: complex, size: float) -> list[Primitive]:
    """A minus in a ring, `size` (m) across: the south face looks at the reader."""
    half = size / 2
    return [Circle(center, half), segment(center - 0.55 * half, center + 0.55 * half)]


def check_line(middle: complex, text_height: float) -> list[Primitive]:
    """A line of 50 mm with a tick at either end and its length above it."""
    left, right = middle - CHECK_LENGTH / 2, middle + CHECK_LENGTH / 2
    tick = 0.6j * text_height
    ticks = [segment(end - tick, end + tick) for end in (left, right)]
    return [segment(left, right), *ticks, Text("50 mm", middle + 0.5j * text_height, text_height)]
