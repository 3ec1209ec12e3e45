"""Fit: clearance rules in closed form, and shapely as the judge."""

__all__ = ["judge", "rules"]
