"""Search: the local optimisation of the best grid points, the answer, and its reasons."""

__all__ = ["feasibility", "load_search", "refine", "result", "search"]
