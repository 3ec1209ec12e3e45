"""Golden drawings, compared entity by entity: order, starting point and direction of a path do not matter.

Run as `python -m golden.canonical` with `tests` and the project on the path to write the golden files anew.
"""

from collections.abc import Iterator
from pathlib import Path as File

from layouts import lantern_layout

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Arc, Stretch
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Circle, Drawing, Primitive, Text, arc_numbers, point

FOLDER = File(__file__).parent
TOLERANCE = 2e-4  # mm (mm² for the product of extents): files carry four decimals
Entity = tuple[str, tuple[float, ...]]


def entities(drawing: Drawing) -> list[Entity]:
    """Every stretch, circle and text as words (layer first) and numbers in mm."""
    return [
        (f"{layer.name} {words}", numbers)
        for layer in drawing.layers
        for primitive in layer.primitives
        for words, numbers in _of(primitive)
    ]


def differences(golden: list[Entity], drawn: list[Entity]) -> list[str]:
    """What is missing and what is new, in words; empty when both hold the same entities."""
    left = list(drawn)
    missing: list[str] = []
    for entity in golden:
        match = next((other for other in left if _alike(entity, other)), None)
        if match is None:
            missing.append(f"missing: {_line(entity)}")
        else:
            left.remove(match)
    return missing + [f"new: {_line(entity)}" for entity in left]


def read_golden(topology: str) -> list[Entity]:
    """The golden entities of a coil shape."""
    lines = (FOLDER / f"{topology}.txt").read_text(encoding="utf-8").splitlines()
    split = [line.rsplit(" | ", 1) for line in lines]
    return [(words, tuple(float(number) for number in numbers.split())) for words, numbers in split]


def write_golden(topology: str) -> None:
    """Write the golden file of a coil shape anew."""
    lines = sorted(map(_line, entities(draw_layout(lantern_layout(topology)))))
    (FOLDER / f"{topology}.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _of(primitive: Primitive) -> Iterator[Entity]:
    if isinstance(primitive, Circle):
        yield "circle", (*_mm(primitive.center), primitive.radius * 1e3)
    elif isinstance(primitive, Text):
        words = f"text {primitive.anchor.value} {primitive.text}"
        yield words, (*_mm(primitive.position), primitive.height * 1e3)
    else:
        yield from (
            (("closed " if primitive.closed else "open ") + w, n) for w, n in map(_stretch, primitive.curve)
        )


def _stretch(stretch: Stretch) -> Entity:
    middle = _mm(point(stretch.at(0.5)))
    if isinstance(stretch, Arc):
        center, radius, _, sweep = arc_numbers(stretch)
        return "arc", (*middle, *_mm(center), radius * 1e3, abs(sweep) * radius * 1e3)
    x, y = _mm(point(stretch.at(1)) - point(stretch.at(0)))
    return "line", (*middle, abs(x), abs(y), x * y)


def _alike(one: Entity, other: Entity) -> bool:
    return one[0] == other[0] and all(abs(a - b) < TOLERANCE for a, b in zip(one[1], other[1], strict=True))


def _line(entity: Entity) -> str:
    return f"{entity[0]} | " + " ".join(f"{round(number, 4) + 0.0:.4f}" for number in entity[1])


def _mm(z: complex) -> tuple[float, float]:
    return z.real * 1e3, z.imag * 1e3


if __name__ == "__main__":
    for name in TOPOLOGIES:
        write_golden(name)
