"""Files: TOML in and out, with every fault at once."""

__all__ = ["faults", "key_tables", "keyed", "reading", "schema", "values", "writing"]
