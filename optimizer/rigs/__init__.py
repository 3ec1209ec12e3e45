"""Rigs: a hand, a mechanism and a flywheel, in time."""

__all__ = ["drive_run", "drivetrain", "hand_drive", "mechanisms", "operator", "rig", "rig_file"]
