"""Search: the local optimisation of the best grid points, the answer, and its reasons."""
