"""Where the words of a drawing stand: near the winding where the disc has room for them, else beyond its rim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from geometry.drawing.connections import Tracks
from geometry.drawing.former_outlines import former_radius
from geometry.drawing.primitives import CHARACTER_WIDTH, Anchor, Text, text_box
from geometry.machine.layout import Layout

LEADS = 1.9  # of a label's height: from the edge that labels stand beyond to the ends of the leads
GAP, BESIDE = 0.5, 0.8  # of a label's height: from a lead's end, or from the winding, to the label


def text_height(layout: Layout) -> float:
    """Height of labels, m."""
    return min(max(layout.space.outer_radius / 20, 2.5e-3), 6e-3)


def tracks(layout: Layout) -> Tracks:
    """Connections run between the edge that labels stand beyond and the labels."""
    return _tracks(layout, _edge(layout))


def label_radius(layout: Layout) -> float:
    """Where the leads to the labels end, m."""
    return _label_radius(layout, _edge(layout))


def drawn_radius(layout: Layout) -> float:
    """Of the disc and of labels beyond its rim, whether there are any or not, m: notes stand below."""
    return _label_radius(layout, _rim(layout))


def _tracks(layout: Layout, edge: float) -> Tracks:
    height = text_height(layout)
    apart = (1.2 if layout.phases == 1 else 0.7) * height
    crossing = edge + (LEADS - 1.2) * height
    return Tracks(crossing=crossing, plain=crossing + apart)


def _label_radius(layout: Layout, edge: float) -> float:
    return _tracks(layout, edge).ends(layout.phases)


def _edge(layout: Layout) -> float:
    """The radius that labels and connections stand beyond, m: the winding's if all find room on the disc."""
    height, edge = text_height(layout), _inner_edge(layout)
    longest = "A10 FROM SIDE 1" if layout.sides > 1 else "A1 START" if layout.phases > 1 else "1 START"
    words = CHARACTER_WIDTH * height * len(longest) + (GAP + 0.5) * height
    return edge if _label_radius(layout, edge) + words <= layout.space.outer_radius else _rim(layout)


def _inner_edge(layout: Layout) -> float:
    """Of winding and magnets, and of a former whose rim is drawn, m."""
    carrier = layout.carrier
    winding = layout.winding.outer_radius if layout.topology.concentrated else former_radius(layout)
    return max(winding, float(carrier.magnet.reach(carrier.pitch_radius)[1]))


def _rim(layout: Layout) -> float:
    """Of the disc, or of what is wider, m."""
    return max(layout.space.outer_radius, _inner_edge(layout))


def outside(layout: Layout, axis: complex, text: str) -> Text:
    """A label beyond the ends of the leads, as high as its sector has room for."""
    return _label(layout, axis, text, label_radius(layout) + GAP * text_height(layout))


def beside_winding(layout: Layout, axis: complex, text: str) -> Text:
    """A label beside the winding where no connections run, beyond the rim if it would be cut by that."""
    height = text_height(layout)
    radius = _inner_edge(layout) + BESIDE * height
    far = radius + CHARACTER_WIDTH * height * max(len(text), 2) + 0.5 * height
    return (
        _label(layout, axis, text, radius)
        if far <= layout.space.outer_radius
        else outside(layout, axis, text)
    )


def _label(layout: Layout, axis: complex, text: str, radius: float) -> Text:
    """A label whose near end stands at `radius`, m."""
    clearance = 1.05 if layout.coils == layout.sides else 2.5  # the legs of one serpentine are numbered
    height = min(text_height(layout), clearance * radius / layout.sectors)
    if abs(axis.real) > 0.5:
        anchor = Anchor.START if axis.real > 0 else Anchor.END
        middle = radius * axis
    else:
        aside = 0.0 if layout.phases * layout.sides == 1 else axis.real * CHARACTER_WIDTH * height * len(text)
        anchor, middle = Anchor.MIDDLE, (radius + 0.5 * height) * axis + aside
    return Text(text, middle - 0.5j * height, height, anchor)


def scaled(label: Text, share: float) -> Text:
    """A label of a share of its height, at the same place."""
    return replace(
        label, height=share * label.height, position=label.position + 0.5j * (1 - share) * label.height
    )


def touching(labels: Sequence[Text]) -> bool:
    """Whether two labels come nearer to each other than a quarter of the height of each."""
    boxes = [_box(label) for label in labels]
    return any(a < d and c < b and e < h and g < f for (a, b, e, f), (c, d, g, h) in combinations(boxes, 2))


def _box(label: Text) -> tuple[float, float, float, float]:
    """Left, right, lower and upper edge of a text's capitals with room around them, m."""
    (low, high), pad = text_box(label), 0.25 * label.height
    return low.real - pad, high.real + pad, label.position.imag - pad, high.imag + pad
