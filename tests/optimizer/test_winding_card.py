"""The winding card: lengths of the filaments, resistances of the wire table, a machine worked by hand, its page."""

from __future__ import annotations

from html.parser import HTMLParser
from math import pi

import numpy as np
import pytest
from family import FAMILY, facing_wedges, nine_wedges, three_serpentines, twelve_rounds
from layouts import lantern_layout
from shown import card_of, card_page

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import polyline
from geometry.machine.filaments import JOINT_ROOM, PHASE_END, phase_filaments
from geometry.stock.wire import Wire
from optimizer.building.card_words import GRAVITY, METER_FREQUENCY, phase_volts, polarity_test, together
from optimizer.evaluation.chain import evaluate
from optimizer.evaluation.copper import wire_length
from optimizer.field.emf import SAMPLES, waveform

SHAPES = tuple(TOPOLOGIES)


def chords(points: np.ndarray) -> float:
    return float(np.abs(np.diff(points)).sum())


@pytest.mark.parametrize("shape", SHAPES)
def test_lengths_are_those_of_the_filaments(shape: str) -> None:
    layout = lantern_layout(shape)
    card = card_of(layout)
    found: dict[int, list[float]] = {}
    for filament in phase_filaments(layout):
        points = polyline(filament.curve, step=0.2e-3, sagitta=1e-8)
        found.setdefault(filament.coil, []).append(chords(points) + abs(points[-1] - points[0]))
    assert len(found) == card.layout.coils
    for turns in found.values():
        assert len(turns) == card.layout.winding.turns == sum(map(sum, card.layers))
        assert sum(turns) == pytest.approx(card.coil_length, rel=2e-5)
        assert min(turns) == pytest.approx(card.shortest_turn, rel=2e-5)
        assert max(turns) == pytest.approx(card.longest_turn, rel=2e-5)
    assert card.turns_length == pytest.approx(wire_length(layout), rel=1e-12)


def test_round_coil_worked_by_hand() -> None:
    """Eight coils of 40 turns of 0.25 mm wire between radii of 30 and 50 mm, bundle 4 mm wide.

    A round coil is 20 mm across, so the middle of its bundle has a radius of 10 − 2 = 8 mm. Its 40 turns lie
    evenly about that, so they measure 40 · 2π · 8 mm = 2.0106 m, and eight coils 16.085 m. By the wire table
    (1/58.5 Ω mm²/m over π 0.25²/4 mm² = 0.348236 Ω/m) that is 5.6013 Ω. Joints leave 40 mm beside half the way
    to the next coil, π · 50/8 = 19.635 mm: 59.635 mm. Coil with its two ends: 2.1299 m, 0.74170 Ω. All ends:
    2 · 0.2 + 14 · 0.059635 = 1.23489 m; all in series with them 17.320 m, 6.0313 Ω, and 3.93 % more at 30 °C.
    """
    card = card_of(lantern_layout("round"))
    assert card.coil is not None
    assert card.coil_length == pytest.approx(2.0106, abs=1e-4)
    assert card.turns_length == pytest.approx(16.085, abs=1e-3)
    assert card.turns_only.nominal == pytest.approx(5.6013, abs=1e-4)
    assert card.joint_end == pytest.approx(0.059635, abs=1e-6)
    assert card.coil[1].nominal == pytest.approx(0.74170, abs=1e-5)
    assert card.ends_length == pytest.approx(1.23489, abs=1e-5)
    assert card.series[1].nominal == pytest.approx(6.0313, abs=2e-4)
    assert [row.temperature for row in card.series] == [10, 20, 30]
    assert card.series[2].nominal / card.series[1].nominal == pytest.approx(1.0393, rel=1e-9)
    assert card.series[0].nominal / card.series[1].nominal == pytest.approx(1 - 0.0393, rel=1e-9)
    assert card.one_turn == pytest.approx(5.6013 / 320, rel=1e-4)


def test_one_coil_has_no_joints_and_no_reading_of_its_own() -> None:
    card = card_of(lantern_layout("serpentine"))
    assert (card.layout.coils, card.coil, card.joint_end) == (1, None, 0.0)
    assert card.ends_length == 2 * PHASE_END
    assert card.series[1].nominal == pytest.approx((card.turns_length + 0.4) * 0.348236, rel=1e-5)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_meter_agrees_with_the_figures(shape: str) -> None:
    layout = lantern_layout(shape)
    card, figures = card_of(layout), evaluate(layout)
    assert card.turns_only.nominal == pytest.approx(figures.resistance_ohm, rel=1e-8)
    assert card.turns_only.minimum == pytest.approx(figures.resistance_min_ohm, rel=1e-8)
    assert card.turns_only.maximum == pytest.approx(figures.resistance_max_ohm, rel=1e-8)
    assert card.figures.emf_rms_V == pytest.approx(figures.emf_rms_V, rel=1e-8)


def test_the_band_is_the_standards_table() -> None:
    """IEC 60317 for 0.250 mm: 0.3345 to 0.3628 Ω/m; a miscount of half the band hides in it."""
    card = card_of(lantern_layout("serpentine"))
    length = card.turns_length
    assert card.turns_only.minimum / length == pytest.approx(0.3345, rel=2e-3)
    assert card.turns_only.maximum / length == pytest.approx(0.3628, rel=2e-3)
    assert card.hidden_turns == pytest.approx(40 * (0.3628 - 0.3345) / 2 / 0.348236, rel=0.02)


def test_directions_follow_the_filaments() -> None:
    """A turn that encloses a negative area runs clockwise, as seen from the coil."""
    for shape in SHAPES:
        layout = lantern_layout(shape)
        first = {f.coil: f for f in reversed(list(phase_filaments(layout)))}
        for order in card_of(layout).orders:
            points = polyline(first[order.number - 1].curve, step=1e-3, sagitta=1e-6)
            area = np.sum(np.conj(points) * np.roll(points, -1)).imag / 2
            assert (order.sense > 0) == (area < 0)
            assert order.angle_deg == pytest.approx(360 / 8 * (order.number - 1))


def test_reversed_coils_and_magnets_cost_two_each() -> None:
    card = card_of(lantern_layout("wedge"))
    assert card.emf_with_reversed(1) == pytest.approx(card.figures.emf_rms_V * 6 / 8)
    assert card.emf_with_reversed(4) == 0
    assert card.coil_emf * 8 == pytest.approx(card.figures.emf_rms_V)
    assert card.wrong.phases == pytest.approx([6 / 8], rel=1e-4)


def test_pull_and_slow_meter() -> None:
    card = card_of(lantern_layout("wedge"))
    assert card.pull == pytest.approx(40e6 * pi / 4 * 0.25e-3**2)
    assert card.pull / GRAVITY == pytest.approx(0.200, abs=0.001)
    assert card.figures.frequency_Hz == pytest.approx(4 * 400 / 60)
    assert card.figures.frequency_Hz < METER_FREQUENCY < evaluate(lantern_layout("wedge", speed_rpm=800.0)).frequency_Hz
    assert "many simple meters read low" in card_page(lantern_layout("wedge"))
    assert "many simple meters read low" not in card_page(lantern_layout("wedge", speed_rpm=800.0))


def test_a_serpentine_is_wound_as_a_skein_and_never_pulled_in_its_former() -> None:
    layout = lantern_layout()
    card, words = card_of(layout), plain(card_page(layout))
    made = card.skein
    assert made is not None
    assert card.shortest_turn == pytest.approx(made.turn_length(-layout.winding.width / 2 * (1 - 1 / 6)), rel=1e-9)
    assert card.pull < 0.3 * card_of(lantern_layout("wedge")).pull
    assert f"{made.distance * 1e3:.1f} mm from middle to middle" in words
    assert "Do not pull" in words
    assert "Pull evenly" not in words
    assert "pegs" not in words
    wound_on_cores = plain(card_page(lantern_layout("wedge")))
    assert "Pull evenly" in wound_on_cores
    assert "skein" not in wound_on_cores


def test_wires_that_run_beyond_the_carrier_are_told() -> None:
    def words(**changes: float) -> str:
        layout = lantern_layout("wedge", **changes)
        return plain(card_page(layout))

    assert "up to 60.2 mm from the shaft's middle, 5.2 mm beyond the carrier's rim" in words()
    assert "beyond the carrier's rim" not in words(outer_diameter=0.2)


def plain(html: str) -> str:
    page = Page()
    page.feed(html)
    return " ".join(" ".join(page.words).replace("\u00a0", " ").split())


def test_ends_reach_from_coil_to_coil() -> None:
    layout = lantern_layout("wedge", wire=Wire(diameter=0.2e-3), turns=30)
    reach = 2 * pi * layout.winding.outer_radius / layout.coils
    assert 2 * card_of(layout).joint_end == pytest.approx(reach + 2 * JOINT_ROOM)


class Page(HTMLParser):
    """Text of a page, and whether every element is closed."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ("meta", "img", "br"):
            self.open.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("src", "href")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data.replace("\u00a0", " "))


@pytest.mark.parametrize("shape", SHAPES)
def test_the_page_needs_nothing_else_and_says_the_numbers(shape: str) -> None:
    layout = lantern_layout(shape, title='Lantern <b> & "light"')
    card = card_of(layout)
    html = card_page(layout)
    page = Page()
    page.feed(html)
    text = " ".join(" ".join(page.words).split())
    assert page.open == []
    assert all(link.startswith(("data:", "#")) for link in page.links)
    assert 'Lantern <b> & "light"' in text
    assert f"{card.series[1].nominal:.3g} Ω" in text
    assert "Which face of a magnet is N" in text
    assert ("counter-clockwise" in text) == (card.layout.coils > 1)
    assert text.count("clockwise") >= 1
    assert html == card_page(layout)


def test_two_coils_are_not_told_of_a_third() -> None:
    two = lantern_layout("wedge", count=2)
    html = card_page(two).replace("\u00a0", " ").replace("&nbsp;", " ")
    assert "One coil the wrong way round</dt><dd>The two cancel" in html
    assert "then 3" not in html
    assert "two leave" not in html
    four = lantern_layout("wedge", count=4)
    html = card_page(four)
    assert "then 3" in html
    assert ": two against two cancel." in html
    assert "half of them reversed" not in html


@pytest.mark.parametrize("name", FAMILY)
def test_cards_of_the_family_have_the_lengths_of_their_filaments(name: str) -> None:
    layout = FAMILY[name]
    card = card_of(layout)
    found: dict[int, list[float]] = {}
    for phase in range(layout.phases):
        for filament in phase_filaments(layout, phase):
            points = polyline(filament.curve, step=0.2e-3, sagitta=1e-8)
            found.setdefault(filament.coil, []).append(chords(points) + abs(points[-1] - points[0]))
    assert len(found) == card.layout.coils == layout.coils
    for turns in found.values():
        assert len(turns) == card.layout.winding.turns == sum(map(sum, card.layers))
        assert sum(turns) == pytest.approx(card.coil_length, rel=2e-5)
    assert card.turns_length == pytest.approx(layout.phases * wire_length(layout), rel=1e-12)
    figures = evaluate(layout)
    assert card.turns_only.nominal == pytest.approx(figures.resistance_ohm, rel=1e-8)


def volts(layout, signs=(1, 1, 1)):
    """Sum of the three phases' waveforms, each with a sign, RMS."""
    angles = np.linspace(0, 2 * pi, SAMPLES, endpoint=False)
    total = sum(sign * waveform(layout, phase).at(angles) for phase, sign in enumerate(signs))
    return float(np.sqrt(np.mean(total**2)))


@pytest.mark.parametrize(
    "layout",
    [
        nine_wedges(),
        twelve_rounds(),
        three_serpentines(stacking="interleaved"),
        three_serpentines(connection="delta"),
    ],
)
def test_what_a_phase_the_wrong_way_round_shows(layout) -> None:
    """Against sums of the waveforms themselves; interleaved phases are not quite alike."""
    three = card_of(layout).three
    assert three is not None
    pairs = [volts(layout, signs) for signs in ((1, 1, 0), (0, 1, 1), (1, 0, 1))]
    assert three.phase_reversed == pytest.approx((min(pairs), max(pairs)), rel=1e-6)
    assert three.open_corner == pytest.approx(volts(layout), rel=1e-6)
    turned = [volts(layout, signs) for signs in ((-1, 1, 1), (1, -1, 1), (1, 1, -1))]
    assert three.open_corner_reversed == pytest.approx(min(turned), rel=1e-6)
    alone = [volts(layout, signs) for signs in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
    lines = [volts(layout, signs) for signs in ((1, -1, 0), (0, 1, -1), (-1, 0, 1))]
    # in a closed delta a third of the sum of all three runs around, and never shows outside
    third = [2 / 3, -1 / 3, -1 / 3]
    closed = [volts(layout, np.roll(third, phase)) for phase in range(3)]
    assert three.emfs == pytest.approx(alone, rel=1e-6)
    assert three.lines == pytest.approx(lines if three.star else closed, rel=1e-6)
    assert three.lines == pytest.approx(evaluate(layout).line_emf_rms_V, rel=1e-4)


def test_layered_phases_are_told_one_by_one() -> None:
    """A lies next to the magnets and gives most; in delta the difference drives a current around."""
    three = card_of(three_serpentines(connection="delta")).three
    assert three is not None
    assert three.emfs[0] > 1.2 * three.emfs[1] > 1.2 * 1.2 * three.emfs[2]
    assert three.circulates
    assert "across A, " in phase_volts(three)
    nine = card_of(nine_wedges()).three
    assert nine is not None
    assert phase_volts(nine).endswith("across each phase")


def test_nine_wedges_by_phase() -> None:
    """Three coils a phase, 20° out of step: a coil gives 1/(1 + 2 cos 20°) of its phase by the fundamental."""
    card = card_of(nine_wedges())
    assert [order.name for order in card.orders] == [f"{letter}{n}" for letter in "ABC" for n in (1, 2, 3)]
    assert [order.angle_deg for order in card.orders[:3]] == [320, 0, 40]
    assert [order.sense > 0 for order in card.orders[:3]] == [False, True, False]
    assert card.coil_emf / card.figures.emf_rms_V == pytest.approx(1 / (1 + 2 * np.cos(pi / 9)), rel=1e-9)
    assert card.three is not None
    assert card.three.one_reversed[0] < card.three.one_reversed[1] < card.figures.emf_rms_V / 2
    # a third of a circle of 50 mm, shared among nine, and the room to join
    assert card.joint_end == pytest.approx(pi * 0.05 / 9 + JOINT_ROOM)
    assert card.ends_length == pytest.approx(3 * (2 * PHASE_END + 4 * card.joint_end))


@pytest.mark.parametrize("name", FAMILY)
def test_card_pages_of_the_family_say_the_joint(name: str) -> None:
    layout = FAMILY[name]
    page = card_page(layout)
    text = " ".join(page.split())
    star = layout.phases == 3 and layout.winding.connection == "star"
    assert ("Joined in star, any two terminals show" in text) == star
    assert ("Before the delta is closed" in text) == (layout.winding.connection == "delta")
    assert ("FROM SIDE 1" in text) == (layout.sides == 2)
    assert "None" not in text


def test_facing_carriers_are_wound_as_one() -> None:
    assert card_of(facing_wedges()).wire_length == pytest.approx(
        card_of(lantern_layout("wedge")).wire_length
    )


def words_of(layout) -> str:
    """The card's text, blanks as blanks."""
    page = Page()
    page.feed(card_page(layout))
    return " ".join(" ".join(page.words).split())


def test_a_reversed_coil_is_told_from_a_wrong_magnet() -> None:
    """All in series read the same either way, so only the coils alone can tell; with this machine's own numbers."""
    layout = lantern_layout("wedge")
    card = card_of(layout)
    rows = {name: cells for name, *cells in polarity_test(card).rows}
    series = f"{card.figures.emf_rms_V * 6 / 8:.3g} V"
    assert rows["One coil the wrong way round"] == [
        f"{card.coil_emf:.3g} V, every one".replace(" ", "\u00a0", 1),
        series.replace(" ", "\u00a0"),
    ]
    alone, whole = rows["One magnet the wrong way up"]
    assert whole.startswith(series.replace(" ", "\u00a0"))
    assert alone.startswith(f"{card.coil_emf * card.wrong.coil:.3g}")
    assert card.wrong.coil < 0.9
    text = words_of(layout)
    assert "only the coils alone can tell" in text
    assert "the waveform stumbles" not in text
    round_coils = words_of(lantern_layout("round"))
    assert "each makes its own two half-waves" in round_coils


@pytest.mark.parametrize("name", FAMILY)
def test_every_card_says_what_a_builder_can_do(name: str) -> None:
    layout = FAMILY[name]
    card, text = card_of(layout), words_of(layout)
    assert "The template shows the winding from the coil side" in text
    assert ("wound with them up is then, from the coil side" in text) == card.stays
    assert ("Over coils wound clockwise" in text) == (
        card.three is not None and card.joined and not card.one_sense
    )
    assert ("all alike" in together(card)) <= (len({order.sense for order in card.orders}) == 1)
    assert ("coils in series order" in text.lower()) == (card.joined and card.sectored)
    facing = layout.carrier.carriers > 1
    assert ("magnet face to magnet face" in text) == facing
    assert ("One carrier a magnet farther round" in text) == facing
    if not card.sectored:
        assert "has no coils to compare" in text or "All three phases lower by the same" in text


def test_the_bundles_of_a_stack_are_told_by_layer_and_angle() -> None:
    halves = words_of(three_serpentines(stacking="interleaved", height=0.004))
    assert "A at 0°, B at 30°, C at 60°" in halves
    assert "A is layer 1 and 6, B is layer 2 and 5, C is layer 3 and 4" in halves
    assert "13 turns in the lower half, 12 in the upper" in halves
    assert "13 and 12 turns the finish" not in halves
    assert "lower half: 3, counted from the former's plate: 4, 5, 4 turns" in halves
    assert "coils in series order" not in halves.lower()
    assert "all clockwise" in words_of(FAMILY["six wedges"])
    assert "Over all coils of the phase the needle must swing the same way" in words_of(FAMILY["six wedges"])


def test_facing_carriers_are_told_with_their_distance_and_pull() -> None:
    layout = facing_wedges()
    card, pull = card_of(layout), evaluate(layout).attraction_N
    assert pull is not None
    assert card.face_to_face == pytest.approx(0.008)
    assert "8 mm apart" in words_of(layout)
    assert f"{float(f'{pull:.2g}'):.0f}" in words_of(layout)
