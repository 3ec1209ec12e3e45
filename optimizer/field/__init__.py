"""Field: from magnets to volts: charged faces, pole harmonics, steel, linkage, EMF and pull."""
