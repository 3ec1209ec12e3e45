"""Documents: results as JSON."""

__all__ = ["compare_document", "result_document", "study_document"]
