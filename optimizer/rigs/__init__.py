"""Rigs: a hand, a mechanism and a flywheel, in time."""
