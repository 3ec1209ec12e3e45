"""Terminal: what the commands share: options, numbers, progress, words."""

__all__ = ["answer", "options", "printed_results", "printed_study", "printed_words", "subjects"]
