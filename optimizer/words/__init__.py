"""Words: the sentences for people."""

__all__ = [
    "caution_words",
    "comparison_words",
    "draw_words",
    "drive_words",
    "kind_words",
    "like_for_like_words",
    "load_words",
    "machine_notes",
    "machine_words",
    "rewind_words",
    "steel_words",
    "wire_words",
    "wording",
]
