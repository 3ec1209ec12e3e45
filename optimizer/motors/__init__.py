"""Motors: a salvaged motor as found and rewound, and machines side by side."""

__all__ = ["comparison", "motor", "motor_file", "motor_tables", "rewinding"]
