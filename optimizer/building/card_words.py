"""The winding card in words, and what tells a coil the wrong way round from a magnet the wrong way up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from geometry.machine.filaments import PHASE_END
from optimizer.building.winding_card import PhaseCard, WindingCard
from optimizer.words.machine_words import LIKE as ALIKE
from optimizer.words.machine_words import each_words
from optimizer.words.wording import percent, quantity, size_mm

LIKE = 0.02  # share by which two readings may differ and a hand-held meter not tell them apart
GRAVITY = 9.81  # m/s²
METER_FREQUENCY = 45.0  # Hz; below it the AC range of many simple meters reads low
MEAN = "on a meter that averages, as simple ones do"


class PolarityTest(NamedTuple):
    """A table of readings: what each column is measured across, a row for each case; and what follows, sentences."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    told: tuple[str, ...]


def together(card: WindingCard) -> str:
    """How the coils are joined, to follow their number; empty for one coil alone."""
    layout = card.layout
    sides = ", half of them on each side" if layout.sides > 1 else ""
    alike = ", all alike" if len({coil.sense for coil in card.orders}) == 1 else ", all of one size"
    if card.three is None:
        return f"{alike}{sides}, in series" if card.joined else ""
    count = layout.coils // layout.phases
    series = f", {count} in series in each phase" if card.joined else ", one for each phase"
    return f"{alike}{sides}{series}, the three phases in {card.three.connection}"


def ends_left(card: WindingCard) -> str:
    """What to leave of the wire at the ends of a phase."""
    phase, side = " of each phase" if card.three else "", " on each side" if card.layout.sides > 1 else ""
    return f"Leave {quantity(PHASE_END * 1e3, 'mm', 2)} at start and finish{phase}{side}"


def piece_turns(card: WindingCard) -> str:
    """Turns of what is wound in one piece: "40 turns", "9 turns in each half"."""
    if not card.halved:
        return f"{card.layout.winding.turns} turns"
    lower, upper = card.layout.piece_turns
    return f"{lower} turns in each half" if lower == upper else f"{lower} turns in the lower half, {upper} in the upper"


def senses(card: WindingCard) -> str:
    """The way coils are wound, seen as the template and the former show them."""
    clockwise = [coil.sense > 0 for coil in card.orders]
    if len(set(clockwise)) == 1:
        return f"all {'clockwise' if clockwise[0] else 'counter-clockwise'}"
    odd = [coil.number % 2 == 1 for coil in card.orders]
    if card.layout.sides == 1 and card.three is None and clockwise == odd:
        return "odd coils clockwise, even coils counter-clockwise"
    return "clockwise or counter-clockwise as the list of coils says"


def one_reversed(three: PhaseCard) -> str:
    """What a phase gives with one of its coils the wrong way round."""
    minimum, maximum = three.one_reversed
    if maximum < ALIKE * max(three.emfs):
        return "next to nothing"
    return quantity(minimum, "V") + (f" to {quantity(maximum, 'V')}" if maximum > 1.01 * minimum else "")


def phase_volts(three: PhaseCard) -> str:
    """The voltage across each phase."""
    return each_words(three.emfs, "each phase", "ABC")


def line_volts(three: PhaseCard) -> str:
    """The voltage between terminals."""
    return each_words(three.lines, "any two terminals", ("A and B", "B and C", "C and A"))


def polarity_test(card: WindingCard) -> PolarityTest:
    """Of a machine that turns at its own speed without a load."""
    rows = [("All as it should be", _coil(card), _whole(card)), *_reversed_rows(card), _magnet_row(card)]
    if card.face_to_face is not None:
        nothing = "next to nothing"
        rows.append(("One carrier a magnet farther round than it should be", nothing, nothing))
    one = card.three is None
    if card.joined:
        title = "A coil or a magnet the wrong way round?"
        columns = "", "Across each coil alone", "Across all in series" if one else "Across a phase"
        return PolarityTest(title, columns, tuple(rows), tuple(_told(card)))
    title = "A magnet the wrong way up?" if one else "A phase or a magnet the wrong way round?"
    columns = "", "Across the winding" if one else "Across each phase alone"
    return PolarityTest(title, columns, tuple((name, whole) for name, _, whole in rows), tuple(_told(card)))


def facing_words(card: WindingCard) -> str:
    """How far apart facing carriers stand and how hard they pull, for the step at which they meet; else nothing."""
    pull = card.figures.attraction_N
    if card.face_to_face is None or pull is None:
        return ""
    weight = quantity(pull / GRAVITY, "kg", 2)
    return (
        f"the two carriers stand {size_mm(card.face_to_face * 1e3)} apart, magnet face to magnet face, the winding "
        f"midway between them; there they pull at each other with {quantity(pull, 'N', 2)}, the weight of "
        f"{weight}, and harder the nearer they come: bring them together with three long screws or with wedges, never "
        "by hand, and keep fingers out"
    )


def _coil(card: WindingCard) -> str:
    return quantity(card.coil_emf, "V")


def _whole(card: WindingCard) -> str:
    return quantity(card.figures.emf_rms_V, "V") if card.three is None else _phases(card, (1.0, 1.0, 1.0))


def _phases(card: WindingCard, shares: tuple[float, ...]) -> str:
    assert card.three is not None
    emfs = [emf * share for emf, share in zip(card.three.emfs, shares, strict=True)]
    return each_words(emfs, "each", "ABC").removesuffix(" across each")


def _reversed_rows(card: WindingCard) -> Iterator[tuple[str, str, str]]:
    """One coil, phase or side the wrong way round."""
    full = f"{_coil(card)}, every one"
    if card.three is not None and not card.joined:
        yield "One phase the wrong way round", full, f"{_whole(card)}: nothing shows here"
    elif not card.joined:
        return
    elif card.three is not None:
        left = one_reversed(card.three)
        yield "One coil the wrong way round", full, f"{left} across its phase, the others as they should be"
    else:
        left = card.emf_with_reversed(1)
        name = "One coil the wrong way round" if card.sectored else "One side the wrong way round"
        yield name, full, quantity(left, "V") if left > LIKE * card.figures.emf_rms_V else "next to nothing"


def _magnet_row(card: WindingCard) -> tuple[str, str, str]:
    wrong = card.wrong
    coil = f"{quantity(card.coil_emf * wrong.coil, 'V')}, all alike"
    if abs(wrong.coil_mean - wrong.coil) > LIKE:
        coil += f" ({quantity(card.coil_emf * wrong.coil_mean, 'V')} {MEAN})"
    if card.sectored:
        coil += "; it stumbles once in a turn"
    left = [share * card.figures.emf_rms_V for share in wrong.phases]
    whole = quantity(left[0], "V") if card.three is None else _phases(card, wrong.phases)
    if left[0] < LIKE * card.figures.emf_rms_V:
        whole = "next to nothing"
    elif wrong.even:
        whole += "; all half-waves stay alike"
    else:
        whole += ", all alike; they stumble once in a turn"
    where = " of one carrier" if card.face_to_face is not None else ""
    return f"One magnet{where} the wrong way up", coil, whole


def _told(card: WindingCard) -> Iterator[str]:
    if card.sectored:
        yield from _coil_by_coil(card)
    else:
        yield from _serpentine(card)
    if card.face_to_face is not None:
        yield (
            "Carriers that stand a magnet apart show like poles to each other: they push apart where they should pull. "
            "Turn one of them on by one magnet."
        )


def _coil_by_coil(card: WindingCard) -> Iterator[str]:
    wrong, each = card.wrong, "coil" if card.joined else "phase"
    measured = (
        f"Measure every {each} alone, from its start to its finish, before they are joined and at one speed."
    )
    seen = "once in every turn of the disc (a needle or a scope shows it when you turn slowly)"
    if (
        card.joined
        and card.three is None
        and abs(wrong.phases[0] - card.emf_with_reversed(1) / card.figures.emf_rms_V) < LIKE
    ):
        yield "All in series read the same in both cases, with half-waves all alike: only the coils alone can tell."
    if 1 - wrong.coil > LIKE:
        yield (
            f"{measured} Where each is full, a {each} is connected the wrong way round: find it as told above. Where "
            f"all are lower by the same {percent(1 - wrong.coil)} and stumble {seen}, a magnet is the wrong way up: "
            "test every face."
        )
    else:
        yield (
            f"{measured} Each reads full in both cases, since these magnets stand so far apart that each makes its own "
            f"two half-waves; but with a wrong magnet each stumbles {seen}. Then test every face; otherwise look for a "
            f"{each} that is connected the wrong way round, as told above."
        )


def _serpentine(card: WindingCard) -> Iterator[str]:
    lower = percent(1 - card.wrong.phases[0])
    if card.three is None:
        yield (
            f"A serpentine has no coils to compare, and its wave keeps its shape: {lower} too little, with the right "
            "resistance, means a magnet the wrong way up, or turns that lie beside their way."
        )
    else:
        yield (
            f"All three phases lower by the same {lower}, with the right resistance, mean a magnet the wrong way up; "
            "one phase alone that is lower has lost turns, or some lie beside their way. The wave keeps its shape."
        )
    yield (
        "Test every face. Or let the machine find it: hold still over the turning magnets, in place of the winding, a "
        "loose coil of some 50 turns, as wide as one magnet. It stumbles once in a turn when a magnet is wrong."
    )
