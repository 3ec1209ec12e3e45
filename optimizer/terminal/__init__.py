"""Terminal: what the commands share: options, numbers, progress, words."""
