"""Files: TOML in and out, with every fault at once."""

__all__ = ["key_tables", "keyed", "lines", "reading", "schema", "values", "writing"]
