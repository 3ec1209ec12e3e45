"""Files: TOML in and out, with every fault at once."""
