"""Brief: what someone has and needs, and the goal."""
