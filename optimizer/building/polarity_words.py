"""What tells a coil the wrong way round from a magnet the wrong way up, with the readings of the machine at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.building.winding_card import GRAVITY, WindingCard
from optimizer.words.machine_words import each_words
from optimizer.words.wording import percent, quantity, size_mm

LIKE = 0.02  # share by which two readings may differ and a hand-held meter not tell them apart
MEAN = "on a meter that averages, as simple ones do"


@dataclass(frozen=True, slots=True, kw_only=True)
class PolarityTest:
    """A table of readings: what each column is measured across, a row for each case; and what follows, sentences."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    told: tuple[str, ...]


def polarity_test(card: WindingCard) -> PolarityTest:
    """Of a machine that turns at its own speed without a load."""
    rows = [("All as it should be", _coil(card), _whole(card)), *_reversed_rows(card), _magnet_row(card)]
    if card.face_to_face is not None:
        nothing = "next to nothing"
        rows.append(("One carrier a magnet farther round than it should be", nothing, nothing))
    columns = (
        "",
        "Across each coil alone",
        "Across all in series" if card.three is None else "Across a phase",
    )
    told = tuple(_told(card))
    if card.joined:
        title = "A coil or a magnet the wrong way round?"
        return PolarityTest(title=title, columns=columns, rows=tuple(rows), told=told)
    return PolarityTest(
        title="A magnet the wrong way up?"
        if card.three is None
        else "A phase or a magnet the wrong way round?",
        columns=("", "Across the winding" if card.three is None else "Across each phase alone"),
        rows=tuple((name, whole) for name, _, whole in rows),
        told=told,
    )


def facing_words(card: WindingCard) -> str:
    """How far apart facing carriers stand and how hard they pull, for the step at which they meet; else nothing."""
    if card.face_to_face is None or card.attraction is None:
        return ""
    weight = quantity(card.attraction / GRAVITY, "kg", 2)
    return (
        f"the two carriers stand {size_mm(card.face_to_face * 1e3)} apart, magnet face to magnet face, the winding "
        f"midway between them; there they pull at each other with {quantity(card.attraction, 'N', 2)}, the weight of "
        f"{weight}, and harder the nearer they come: bring them together with three long screws or with wedges, never "
        "by hand, and keep fingers out"
    )


def _coil(card: WindingCard) -> str:
    return quantity(card.coil_emf, "V")


def _whole(card: WindingCard) -> str:
    return quantity(card.emf_rms, "V") if card.three is None else _phases(card, (1.0, 1.0, 1.0))


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
        left = card.three.one_reversed_words
        yield "One coil the wrong way round", full, f"{left} across its phase, the others as they should be"
    else:
        left = card.emf_with_reversed(1)
        name = "One coil the wrong way round" if card.sectored else "One side the wrong way round"
        yield name, full, quantity(left, "V") if left > LIKE * card.emf_rms else "next to nothing"


def _magnet_row(card: WindingCard) -> tuple[str, str, str]:
    wrong = card.wrong
    coil = f"{quantity(card.coil_emf * wrong.coil, 'V')}, all alike"
    if abs(wrong.coil_mean - wrong.coil) > LIKE:
        coil += f" ({quantity(card.coil_emf * wrong.coil_mean, 'V')} {MEAN})"
    if card.sectored:
        coil += "; it stumbles once in a turn"
    left = [share * card.emf_rms for share in wrong.phases]
    whole = quantity(left[0], "V") if card.three is None else _phases(card, wrong.phases)
    if left[0] < LIKE * card.emf_rms:
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
        and abs(wrong.phases[0] - card.emf_with_reversed(1) / card.emf_rms) < LIKE
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
