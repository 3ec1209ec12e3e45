"""Surveys: sweeps, fronts and comparisons of coil shapes like for like."""
