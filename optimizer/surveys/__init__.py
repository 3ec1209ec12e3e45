"""Surveys: sweeps, fronts and comparisons of coil shapes like for like."""

__all__ = ["axes", "effort", "front", "like_for_like", "sweeps"]
