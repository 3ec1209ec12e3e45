"""Files: TOML in and out, with every fault at once."""

__all__ = ["faults", "key_tables", "reading", "schema", "values", "writing"]
