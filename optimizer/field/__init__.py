"""Field: from magnets to volts: charged faces, pole harmonics, steel, linkage, EMF and pull."""

__all__ = ["attraction", "emf", "linkage", "machine_field", "pole_harmonics", "steel"]
