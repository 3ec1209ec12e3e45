"""One file per command: it parses, makes one call and prints. Heavy libraries are imported by the call alone."""
