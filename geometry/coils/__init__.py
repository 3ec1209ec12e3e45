"""Coils: the coil shapes, one file each, where turns lie in a bundle, and which coil belongs to which phase."""

__all__ = ["bundle", "series_order", "star_of_slots", "topology"]
