"""Field: from magnets to volts: charged faces, pole harmonics, steel, linkage, EMF and pull."""

__all__ = [
    "attraction",
    "charged_faces",
    "emf",
    "face_rows",
    "linkage",
    "pole_harmonics",
    "ring_potential",
    "steel",
]
