"""The cover to print: a thin disc glued over the magnets; its thickness is part of the air gap."""

from __future__ import annotations

from math import pi

from shapely import unary_union

from geometry.machine.layout import Layout
from geometry.parts.carrier import face_text
from geometry.parts.lettering import first_fit
from geometry.parts.meshes import Slab, carved
from geometry.parts.solids import (
    GLUE_LINE,
    MAGNET_TOLERANCE,
    MARGIN,
    Part,
    PrintOptions,
    annulus,
    annulus_area,
    check_air_gap,
    ring_texts,
)


def cover_part(layout: Layout, options: PrintOptions | None = None) -> Part:
    """The cover, glue side down.

    Raises ValueError when its thickness leaves less than the running clearance of the air gap.
    """
    options = options or PrintOptions()
    left = check_air_gap(layout, options)
    inner, outer = layout.space.bore_radius, layout.space.outer_radius
    depth = min(options.letter_depth, options.cover / 3)
    ring = annulus(inner, outer)
    words_on_it = face_text(layout)
    radii = [((inner + outer) / 2, 0), (outer, -1), (inner, 1)]
    text = first_fit(ring_texts(words_on_it, radii, [pi / 2]), ring.buffer(-MARGIN))
    words = [Slab(text, options.cover - depth, options.cover)] if text else []
    return Part(
        name="cover",
        mesh=carved([Slab(ring, 0, options.cover)], above=words),
        volume=annulus_area(inner, outer) * options.cover - sum(mark.volume for mark in words),
        deep=unary_union([mark.shape for mark in words]),
        thickness=options.cover,
        notes=(
            *_copies(layout),
            f"Glue the plain side to the carrier, over magnets and webs; {words_on_it} looks at the coil.",
            f"The cover ({options.cover * 1e3:g} mm), its line of glue ({GLUE_LINE * 1e3:g} mm) and the "
            f"{MAGNET_TOLERANCE * 1e3:g} mm by which a magnet lies below the carrier's face are part of the air gap "
            f"of {layout.air_gap * 1e3:g} mm: {left * 1e3:.3g} mm of air stay.",
        ),
    )


def _copies(layout: Layout) -> tuple[str, ...]:
    return ("Print two, one for each carrier.",) if layout.carrier.carriers > 1 else ()
