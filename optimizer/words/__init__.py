"""Words: the sentences for people."""

__all__ = [
    "caution_words",
    "comparison_words",
    "draw_words",
    "drive_words",
    "figure_catalogue",
    "key_words",
    "load_words",
    "loads",
    "machine_words",
    "page_words",
    "result_tables",
    "rewind_words",
    "wording",
]
