"""Evaluation: ohms, henries, losses and warmth of one machine, and the whole chain that gives its figures."""

__all__ = [
    "chain",
    "copper",
    "figures",
    "figures_document",
    "inductance",
    "inductance_formulas",
    "retention",
    "thermal",
    "wire_losses",
]
