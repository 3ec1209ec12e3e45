"""What stands under each picture of a report."""

from __future__ import annotations

CAPTIONS = {
    # of a machine and of a search
    "layout": "To scale, seen from the coil, and cut through the shaft. N and S name the magnet face that looks at the "
    "coil; south is hatched and dashed. Arrows show the way the voltages add.",
    "field_map": "Axial field over the annulus halfway up the bundle. Heavy outlines: magnets (south dashed) and one "
    "coil. Thin lines join points of equal field.",
    "waveform": "Open-circuit voltage over one electrical period, and its harmonics.",
    "emf_by_air_gap": "The same machine with nothing but the air gap changed.",
    "emf_by_magnet_count": "The best machine for each number of magnets; the marker tells the coil shape, a letter the "
    "kind of magnet where there is more than one. Below, what each gives less than the best.",
    "by_topology": "The best machine of each coil shape.",
    "textbook": "What the sizing equation promises, what the layout it describes gives, and what the layout found "
    "gives.",
    "any_winding": "Where the turns of the best winding of any shape would run, and where this machine has them.",
    # of a load
    "waveforms": "One electrical period: above the volts, below the current of the winding.",
    "losses": "Where the power of the shaft goes; bearings and air are not counted.",
    "by_load": "The same winding at the same speed with other loads of this kind.",
    "by_speed": "The same load at other speeds; the dot is the speed of this study.",
    "by_wire": "The same bundle filled with each standard wire: what the load gets, and volts against source "
    "resistance. Volts² per ohm hardly change, so all wires lie on one line.",
    # of a run, a rewinding, a comparison
    "run": "From rest: speed of the rotor, volts {meaning}, and the force at the hand.",
    "stroke": "The last two whole strokes in detail; the hand's return is left white.",
    "energy": "All {total} of the run. What goes in and what comes out differ by {imbalance}, the error of the "
    "calculation.",
    "wires": "Left: what each wire gives with its slot full, labelled with its size and turns a coil; the chosen "
    "winding is ringed. Right: the power of the best of the old coils' rows and of each wire.",
    "waves": "Three coils a third of a turn apart: their third harmonics cancel, since the fluxes of three teeth add "
    "up to nothing.",
    "machines": "The same figures as bars.",
    "harmonics": "Each harmonic of the open-circuit EMF between two terminals beside its fundamental.",
    "equal": "{heading}: the same colour and hatching for the same shape everywhere; paler and dotted with three "
    "phases.",
}
"""By the picture's name; values that a page fills in stand in braces."""
