"""Documents: results as JSON."""

__all__ = ["result_document", "rewind_document", "study_document"]
