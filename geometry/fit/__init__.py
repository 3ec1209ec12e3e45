"""Fit: clearance rules in closed form, and shapely as the judge."""

__all__ = ["fit_words", "judge", "rules"]
