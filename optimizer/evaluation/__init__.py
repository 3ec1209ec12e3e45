"""Evaluation: ohms, henries, losses and warmth of one machine, and the whole chain that gives its figures."""

__all__ = ["chain", "copper", "inductance", "retention", "thermal"]
