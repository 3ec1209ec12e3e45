"""Surveys: sweeps, fronts and comparisons of coil shapes like for like."""

__all__ = ["front", "like_for_like", "sweeps"]
