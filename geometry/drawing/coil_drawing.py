"""The coils in a drawing: edges, directions, starts, names and connections, each on its layer; former and words beside.

Coils that touch share an edge, so those of one phase that are connected in reverse have a layer of their own, and so
has each phase: within a layer no line is drawn twice. Phases are told apart by letter and line style.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from math import pi

from geometry.coils.series_order import SeriesCoil
from geometry.curves.curve import Curve, reversed_curve, rotated_curve
from geometry.drawing.connections import Tracks, connections, finish_angle, lead_ends
from geometry.drawing.primitives import (
    CHARACTER_WIDTH,
    Anchor,
    Circle,
    LineStyle,
    Path,
    Primitive,
    Style,
    Text,
    arrowed,
    arrowhead,
    outlines,
    point,
    segment,
    text_box,
)
from geometry.machine.layout import Layout

FLANGE = 5e-3  # m, by which the former reaches beyond the winding: room for holes, words and the outer island


def former_radius(layout: Layout) -> float:
    """Of the former's rim, m; it may lie beyond the carrier's."""
    return layout.winding.outer_radius + FLANGE


def former_outlines(layout: Layout, side: int = 0) -> list[Path | Circle]:
    """Closed outlines, exact, m: each core; of a serpentine rim, outer and inner edge of the channel, and bore.

    The two islands of a serpentine leave a channel that is the bundle: nothing else is open between rim and bore. The
    bundles of a three-phase serpentine take their shape one after another in the same channel, that of the first.
    """
    half, turn = layout.winding.width / 2, layout.topology.turn
    if layout.topology.concentrated:
        if float(layout.topology.clearance(layout.envelope).get("hole", 1.0)) + layout.winding.peg_radius <= 0:
            return []  # the bundle leaves no hole
        hole = turn(layout.envelope, -half)
        return outlines(rotated_curve(hole, coil.angle) for coil in layout.order.around(side))
    rim, bore = Circle(0j, former_radius(layout)), Circle(0j, layout.space.bore_radius)
    return [rim, *outlines(turn(layout.envelope, edge) for edge in (half, -half)), bore]


GREEN, OCHRE, SLATE, DARK_GREEN = (0, 100, 70), (140, 80, 0), (70, 80, 120), (0, 70, 50)
ONE_PHASE: dict[str, Style] = {
    "COIL_OUTLINE": ("edges of the wound bundle, for reference", GREEN, LineStyle.SOLID, 0.25e-3),
    "COIL_OUTLINE_REVERSED": (
        "edges of coils connected in reverse, for reference",
        GREEN,
        LineStyle.SOLID,
        0.25e-3,
    ),
    "TURN_PATH": ("middle turn of each coil", GREEN, LineStyle.DOTTED, 0.18e-3),
}
PHASE_LOOKS = ((GREEN, LineStyle.SOLID), (OCHRE, LineStyle.DASHED), (SLATE, LineStyle.CHAIN))


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A coil, its axis as a unit vector, and its middle turn from the start, the way its voltage adds."""

    coil: SeriesCoil
    axis: complex
    turn: Curve


def coil_styles(layout: Layout) -> dict[str, Style]:
    """The layers of the coils' lines and how they look, the lowest first."""
    if layout.phases == 1:
        return ONE_PHASE
    styles: dict[str, Style] = {}
    for letter, (color, line) in zip(layout.order.letters, PHASE_LOOKS, strict=True):
        styles[f"COIL_OUTLINE_{letter}"] = (f"edges of phase {letter}, for reference", color, line, 0.25e-3)
        if not layout.stacked:
            reverse = f"edges of coils of phase {letter} connected in reverse, for reference"
            styles[f"COIL_OUTLINE_{letter}_REVERSED"] = (reverse, color, line, 0.25e-3)
        styles[f"TURN_PATH_{letter}"] = (f"middle turn of phase {letter}", color, LineStyle.DOTTED, 0.18e-3)
    return styles


def coil_content(layout: Layout, side: int) -> dict[str, Sequence[Primitive]]:
    """What lies on the coils' layers, seen from the coil of that side."""
    content: dict[str, Sequence[Primitive]] = {}
    for letter, members in zip(layout.order.letters, layout.order.sides[side], strict=True):
        suffix = f"_{letter}" if letter else ""
        content[f"COIL_OUTLINE{suffix}"] = _edges(layout, members, 1 - 2 * side)
        content[f"COIL_OUTLINE{suffix}_REVERSED"] = _edges(layout, members, 2 * side - 1)
        content[f"TURN_PATH{suffix}"] = outlines(_turn(layout, coil) for coil in members)
    starts, numbers, finishes = _labels(layout, side)
    return content | {
        "DIRECTION": [*_arrows(layout, side), *_starts(layout, side, starts)],
        "NUMBERS": numbers,
        "CONNECTIONS": [*connections(layout, tracks(layout), side), *finishes],
    }


def coil_sentences(layout: Layout, side: int) -> Iterator[str]:
    """What the notes say of the coils beyond shape and number: phases, where a side's ends go."""
    if beyond := joints_beyond_words(layout):
        yield beyond
    if layout.phases > 1:
        yield joint_words(layout)
    if layout.stacked:
        yield stacking_words(layout)
    if layout.sides > 1:
        yield (
            "Side 1; side 2 is its mirror image",
            "Side 2, seen from its own coil: the mirror image of side 1",
        )[side]
        yield "Joined in series from TO SIDE 2 on side 1 to FROM SIDE 1 on side 2"


def joints_beyond_words(layout: Layout) -> str:
    """How far the wires from coil to coil run beyond the carrier's rim; nothing when they do not."""
    reach = tracks(layout).ends(layout.phases)
    over = reach - layout.space.outer_radius
    if over <= 0 or layout.coils == layout.phases * layout.sides:
        return ""
    return (
        f"Wires from coil to coil run up to {reach * 1e3:.3g} mm from the shaft's middle, {over * 1e3:.2g} mm beyond "
        "the carrier's rim: leave room for them"
    )


def joint_words(layout: Layout) -> str:
    """How the three phases are joined."""
    if layout.winding.connection == "star":
        return "Star: join A FINISH, B FINISH and C FINISH; A START, B START and C START are the terminals"
    return "Delta: join A FINISH to B START, B FINISH to C START, C FINISH to A START; these joints are the terminals"


def stacking_words(layout: Layout) -> str:
    """How the bundles of a three-phase serpentine lie above each other."""
    winding = layout.winding
    turned = f"each turned counter-clockwise by {_degrees(layout)}° against the one before"
    if winding.stacking == "layered":
        height = f"{winding.height * 1e3:.6g} mm"
        return f"Three bundles of {height} lie one above the other, A next to the magnets, then B, then C, {turned}"
    height = f"{winding.height * 5e2:.6g} mm"
    halves = "{} and {} turns".format(*layout.piece_turns)
    return (
        f"Each bundle in two halves of {halves}, {height} high, in series: six layers, from the magnets up "
        f"A B C C B A; B lies {_degrees(layout)}° counter-clockwise of A, C as far of B, and both halves of a phase "
        "one above the other. Join the finish of each lower half to the start of the upper one"
    )


def _degrees(layout: Layout) -> str:
    return f"{360 / (layout.phases * layout.carrier.pole_pairs):.6g}"


@lru_cache(maxsize=4)
def _middle_turn(layout: Layout) -> tuple[Curve, int]:
    """The middle turn of the coil on the x axis, and how many stretches half of it has."""
    turn = layout.topology.turn(layout.envelope, 0.0)
    return turn, len(layout.topology.half_turn(layout.envelope, 0.0))


def _turn(layout: Layout, coil: SeriesCoil) -> Curve:
    turn, half = _middle_turn(layout)
    placed = rotated_curve(turn, coil.angle)
    if coil.sense > 0:
        return placed[half:] + placed[:half]
    backwards, start = reversed_curve(placed), len(placed) - half
    return backwards[start:] + backwards[:start]


@lru_cache(maxsize=4)
def _drawn(layout: Layout, side: int) -> tuple[_Drawn, ...]:
    coils = layout.order.by_phase(side)
    return tuple(_Drawn(coil, cmath.rect(1, coil.angle), _turn(layout, coil)) for coil in coils)


def _edges(layout: Layout, members: Sequence[SeriesCoil], sense: int) -> list[Primitive]:
    """Outer and inner edge of the bundle of every coil of that sense."""
    half = layout.winding.width / 2
    turns = [layout.topology.turn(layout.envelope, side) for side in (half, -half)]
    angles = [coil.angle for coil in members if coil.sense == sense]
    return [*outlines(rotated_curve(turn, angle) for angle in angles for turn in turns)]


def _arrows(layout: Layout, side: int) -> Iterator[Primitive]:
    """An arrowhead in the middle of each leg, or of each half of a coil without legs."""
    size = min(0.7 * layout.winding.width, 4e-3)
    for drawn in _drawn(layout, side):
        for stretch in arrowed(drawn.turn):
            along = point(stretch.tangent(0.5))
            yield arrowhead(point(stretch.at(0.5)), along / abs(along), size)


def _starts(layout: Layout, side: int, labels: Sequence[Text]) -> Iterator[Primitive]:
    """A line across the bundle where each coil's winding starts, led out to where its wire comes in or its label."""
    left, ends = list(labels), lead_ends(layout, tracks(layout))
    for drawn, end in zip(_drawn(layout, side), ends, strict=True):
        inside = point(drawn.turn[0].at(0)) - layout.winding.width / 2 * drawn.axis
        yield segment(inside, end * drawn.axis)
        if drawn.coil.first:
            yield left.pop(0)


def _labels(layout: Layout, side: int) -> tuple[list[Text], list[Text], list[Text]]:
    """Names of starts, of coils or legs, and of finishes, of a size at which they keep clear of each other."""
    starts, numbers = _start_labels(layout, side), _numbers(layout, side)
    finishes = [
        outside(layout, cmath.rect(1, finish_angle(layout, phase, side)), _finish_word(layout, phase, side))
        for phase in range(layout.phases)
    ]
    if layout.phases == 1 and layout.sides == 1:
        return starts, numbers, finishes
    labels, share = [*starts, *numbers, *finishes], 1.0
    while share > 0.4 and touching([scaled(label, share) for label in labels]):
        share -= 0.05
    fitted = [scaled(label, share) for label in labels]
    first, second = len(starts), len(starts) + len(numbers)
    return fitted[:first], fitted[first:second], fitted[second:]


def _start_labels(layout: Layout, side: int) -> list[Text]:
    alone = layout.coils == layout.phases * layout.sides
    texts: list[Text] = []
    for drawn in _drawn(layout, side):
        if drawn.coil.first:
            word = "FROM SIDE 1" if side else "START"
            name = layout.order.letters[drawn.coil.phase] if alone else drawn.coil.name
            texts.append(outside(layout, drawn.axis, f"{name} {word}".strip()))
    return texts


def _finish_word(layout: Layout, phase: int, side: int) -> str:
    return layout.order.terminal(phase, "FINISH" if side == layout.sides - 1 else "TO SIDE 2")


def _layer_name(layout: Layout, phase: int) -> str:
    """The letter of a phase and its layers in the stack: "A 1", "A 1+6"."""
    return f"{layout.order.letters[phase]} {'+'.join(map(str, layout.layers_of(phase)))}"


def _numbers(layout: Layout, side: int) -> list[Text]:
    """Coils by name; legs of one serpentine by number; loops of three serpentines by phase and layers."""
    coils = _drawn(layout, side)
    if layout.topology.concentrated:
        return [outside(layout, drawn.axis, drawn.coil.name) for drawn in coils if not drawn.coil.first]
    if layout.phases == 1:
        middles = [point(leg.at(0.5)) for leg in arrowed(coils[0].turn)]
        return [beside_winding(layout, z / abs(z), str(number)) for number, z in enumerate(middles, start=1)]
    turns = [2 * pi * loop / layout.carrier.pole_pairs for loop in range(1, layout.carrier.pole_pairs)]
    return [
        beside_winding(layout, drawn.axis * cmath.rect(1, turn), _layer_name(layout, drawn.coil.phase))
        for drawn in coils
        for turn in turns
    ]


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
