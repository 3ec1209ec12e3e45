"""Answers: what the page is told of a machine, a search, a load, a rig: plain values in, plain values out."""

__all__ = ["file_names", "forms", "page_values", "refusal", "tasks"]
