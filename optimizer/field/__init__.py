"""Field: from magnets to volts: charged faces, pole harmonics, steel, linkage, EMF and pull."""

__all__ = ["charged_faces", "emf", "linkage", "magpylib_field", "pole_harmonics", "ring_potential", "steel"]
