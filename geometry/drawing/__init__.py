"""Drawing: one drawing of lines, arcs and words, for every writer."""
