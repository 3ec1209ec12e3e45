"""Brief: what someone has and needs, and the goal."""

__all__ = ["brief", "goal"]
