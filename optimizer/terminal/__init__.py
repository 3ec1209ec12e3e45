"""Terminal: what the commands share: options, numbers, progress, words."""

__all__ = ["answer", "command", "options", "printed_words", "progress", "subjects"]
