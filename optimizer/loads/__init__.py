"""Loads: a load in its file and at any speed, cut-in speed and torque, what meters show, what bites."""
