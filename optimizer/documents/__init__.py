"""Documents: results as JSON."""

__all__ = ["result_document", "study_document"]
