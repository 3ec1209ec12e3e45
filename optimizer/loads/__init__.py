"""Loads: a load in its file and at any speed, cut-in speed and torque, what meters show, what bites."""

__all__ = ["electromagnetic_torque", "hazards", "load_curves", "load_file", "load_study", "load_target"]
