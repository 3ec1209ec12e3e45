"""What is engraved in the parts to print, and what the builder is told of each."""

from __future__ import annotations

from geometry.drawing.coil_drawing import former_radius
from geometry.machine.layout import Layout
from geometry.parts.pockets import GLUE_LINE, MAGNET_TOLERANCE, PrintOptions
from geometry.parts.skein import lifted_off, wound_height

FACE_TEXT, BACK_TEXT = "COIL SIDE", "BACK"
SIDES = ("SIDE 1", "SIDE 2")  # in their place when a coil stands on each side
# without pins, and with them
SEAM_NOTES = ("Glue the flat faces.", "Glue the flat faces, with pins of 1.75 mm filament in their holes.")
CHANNEL = (
    "The channel between the islands is the bundle. Wind the skein of the winding card first and lay it in, along the "
    "arrows; pull no wire around the islands, for it would take the short way through every leg."
)
CORES = (
    "Wind each coil along its arrow, from the hole at its start to the hole outside it; arrows of neighbours are "
    "opposite. Join the finish of each coil to the start of the next, in the order of the numbers."
)
CORES_IN_PHASES = (
    "Wind each coil along its arrow, from the hole at its start to the hole outside it. Join the finish of each coil "
    "to the start of the next of its phase, in the order of the numbers behind its letter."
)
LEAST_RING = 0.8e-3  # m, of an island between channel and bore that stands by itself


def face_text(layout: Layout, *, second: bool = False) -> str:
    """What the face of carrier and cover says."""
    if layout.sides > 1:
        return SIDES[0]
    return f"{FACE_TEXT} 2" if second else FACE_TEXT


def carrier_notes(
    layout: Layout, options: PrintOptions, *, beside: bool, says: str, second: bool, depth: float
) -> tuple[str, ...]:
    """What the builder is told of a carrier.

    beside: whether letters stand beside the pockets. says: the words on its face. depth: of a pocket, m.
    """
    where = "beside each pocket" if beside else "on the floor of each pocket"
    clearance = f"{options.pocket_clearance * 1e3:g} mm"
    recess = (
        f"a magnet may be {MAGNET_TOLERANCE * 1e3:g} mm thicker or thinner than it is sold, so its face lies up to "
        f"{2 * MAGNET_TOLERANCE * 1e3:g} mm below the face that looks at the coil, and never stands proud of it."
    )
    said = f" and says {says}" if says else ""
    if layout.carrier.plate:
        notes = [
            f"Print on its back. Each pocket is {clearance} wider than its magnet and goes through: glue the carrier "
            f"to its steel plate and the magnets to the steel, all with the same thin line of glue "
            f"({GLUE_LINE * 1e3:g} mm); {recess}",
            f"The letter {where} names the pole that looks at the coil."
            if beside
            else "There is no room for letters beside the pockets: mark the poles on the steel, as the template shows.",
            f"The steel lies behind the magnets; the other face looks at the coil{said}.",
        ]
    else:
        notes = [
            f"Print on its back. Each pocket is {clearance} wider than its magnet and "
            f"{(depth - layout.carrier.magnet.thickness) * 1e3:g} mm deeper, for a line of glue "
            f"({GLUE_LINE * 1e3:g} mm) under it: {recess}",
            f"The letter {where} names the pole that looks up, at the coil; the letter on the back names the "
            "pole that looks out of the back, so it is the other one.",
            f"The face with the open pockets looks at the coil{said}.",
        ]
    if layout.sides > 1:
        notes[-1] = (
            f"A coil stands on each side: {SIDES[0]} is the face with the open pockets, {SIDES[1]} the other. The "
            f"floor ({options.floor * 1e3:g} mm) and the glue on it are part of the air gap of side 2."
        )
    if second:
        notes.append(
            "Where the first carrier shows N to the coil, this one shows S: turn it until each N faces an S; they pull "
            "each other into that place, hard: lower it with screws or wedges, never by hand."
        )
    return tuple(notes)


def cover_notes(layout: Layout, options: PrintOptions, says: str, left: float) -> tuple[str, ...]:
    """What the builder is told of the cover: the words on its face, the air in m that it leaves."""
    copies = ("Print two, one for each carrier.",) if layout.carrier.carriers > 1 else ()
    return (
        *copies,
        f"Glue the plain side to the carrier, over magnets and webs; {says} looks at the coil.",
        f"The cover ({options.cover * 1e3:g} mm), its line of glue ({GLUE_LINE * 1e3:g} mm) and the "
        f"{MAGNET_TOLERANCE * 1e3:g} mm by which a magnet lies below the carrier's face are part of the air gap "
        f"of {layout.air_gap * 1e3:g} mm: {left * 1e3:.3g} mm of air stay.",
    )


def former_notes(layout: Layout, options: PrintOptions) -> tuple[str, ...]:
    """What the builder is told of the former: how to print it, what goes where, whether it stays."""
    if layout.topology.concentrated:
        what, order = "cores", CORES_IN_PHASES if layout.phases > 1 else CORES
        first = "A1" if layout.phases > 1 else "the first coil"
        ends = f"The start of {first} lies in the notch, under the turns; each finish goes through the hole outside."
        bore = ()
    else:
        what, order, bore = "islands", CHANNEL, _narrow_bore(layout)
        ends = "The start lies in the notch, the finish goes through the slot to the hole outside the channel."
    printed = f"Print with the {what} up. Seen so, the former is the plan of the template."
    return (f"{printed} {order}", _standing(layout, options, what), ends, *_beyond(layout), *bore)


def _beyond(layout: Layout) -> tuple[str, ...]:
    """That the former is wider than the carrier, if it is."""
    over = former_radius(layout) - layout.space.outer_radius
    if over <= 1e-6:
        return ()
    across = f"{former_radius(layout) * 2e3:.4g} mm across"
    return (f"It is {across} and reaches {over * 1e3:.3g} mm beyond the carrier's rim: leave room for it.",)


def _narrow_bore(layout: Layout) -> tuple[str, ...]:
    """What bounds the channel toward the shaft where no island fits between it and the bore."""
    if layout.winding.inner_radius - layout.space.bore_radius >= LEAST_RING:
        return ()
    bore = f"{layout.space.bore_radius * 2e3:.4g} mm"
    return (f"Toward the shaft the channel has no wall of its own: hold a rod of {bore} in the bore as you press.",)


def _standing(layout: Layout, options: PrintOptions, what: str) -> str:
    """How high cores or islands are, and whether the former stays behind the winding."""
    high = f"stand {(wound_height(layout) + options.peg_rise) * 1e3:.3g} mm high"
    if layout.stacked:
        piece = "half bundle" if layout.pieces > 1 else "bundle"
        return (
            f"The {what} {high}, as high as one {piece}: shape {_pieces(layout)}. Wax the channel first; tie "
            "each bundle, fix it with varnish, push it out through the holes under its legs, and lay them over each "
            "other on the template."
        )
    if lifted_off(layout) or layout.carrier.carriers > 1:
        out = " Push it out through the holes under its legs." if lifted_off(layout) else ""
        return (
            f"The {what} {high}. A carrier turns on either side of the winding, so the former cannot stay: fix what "
            f"is wound, lift it off and hold it by its outer edge.{out}"
        )
    turned = (
        "changes the order of the phases"
        if layout.phases > 1
        else "gives the same voltage with the sign reversed"
    )
    return (
        f"The {what} look at the magnets and {high}, the plate lies behind the winding. "
        f"A winding turned over {turned}."
    )


def _pieces(layout: Layout) -> str:
    if layout.pieces == 1:
        return f"{layout.phases} of them, alike"
    return "two of them for each phase, with {} and {} turns".format(*layout.piece_turns)
