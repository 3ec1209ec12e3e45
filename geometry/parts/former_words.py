"""What the builder is told of the former: how to print it, what goes where, whether it stays."""

from __future__ import annotations

from geometry.drawing.former_outlines import former_radius
from geometry.machine.layout import Layout
from geometry.parts.skein import lifted_off, wound_height
from geometry.parts.solids import PrintOptions

LEAST_RING = 0.8e-3  # m, of an island between channel and bore that stands by itself


def former_notes(layout: Layout, options: PrintOptions) -> tuple[str, ...]:
    """Sentences beside the part."""
    what = "cores" if layout.topology.concentrated else "islands"
    first = "A1" if layout.phases > 1 and layout.topology.concentrated else "the first coil"
    ends = f"The start of {first} lies in the notch, under the turns; each finish goes through the hole outside."
    if not layout.topology.concentrated:
        ends = "The start lies in the notch, the finish goes through the slot to the hole outside the channel."
    printed = f"Print with the {what} up. Seen so, the former is the plan of the template."
    notes = [f"{printed} {_order(layout)}", _standing(layout, options, what), ends, *_beyond(layout)]
    if not layout.topology.concentrated:
        notes.extend(_narrow_bore(layout))
    return tuple(notes)


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
    if layout.phases > 1 and not layout.topology.concentrated:
        return (
            f"The {what} {high}, as high as one {_piece(layout)}: shape {_pieces(layout)}. Wax the channel first; tie "
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


def _piece(layout: Layout) -> str:
    return "half bundle" if layout.pieces > 1 else "bundle"


def _pieces(layout: Layout) -> str:
    if layout.pieces == 1:
        return f"{layout.phases} of them, alike"
    turns = layout.winding.turns
    return f"two of them for each phase, with {(turns + 1) // 2} and {turns // 2} turns"


def _order(layout: Layout) -> str:
    if not layout.topology.concentrated:
        return (
            "The channel between the islands is the bundle. Wind the skein of the winding card first and lay it in, "
            "along the arrows; pull no wire around the islands, for it would take the short way through every leg."
        )
    if layout.phases > 1:
        return (
            "Wind each coil along its arrow, from the hole at its start to the hole outside it. Join the finish of "
            "each coil to the start of the next of its phase, in the order of the numbers behind its letter."
        )
    return (
        "Wind each coil along its arrow, from the hole at its start to the hole outside it; arrows of "
        "neighbours are opposite. Join the finish of each coil to the start of the next, in the order of "
        "the numbers."
    )
