"""Words: the sentences for people."""
