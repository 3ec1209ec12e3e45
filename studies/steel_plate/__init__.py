"""How thick a steel plate behind the magnets must be, by finite elements."""
