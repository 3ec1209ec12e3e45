"""Documents: results as JSON."""

__all__ = [
    "compare_document",
    "drive_document",
    "result_document",
    "rewind_document",
    "study_document",
    "sweep_document",
]
