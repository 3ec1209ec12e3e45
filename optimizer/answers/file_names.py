"""What files the page may be asked for, known without what makes them (`downloads`)."""

from __future__ import annotations

SEARCH_ZIP = "search.zip"
SIMULATION_FILE_NAMES = (
    "motor.toml", "load.toml", "rig.toml", "rewind.html", "rewind.json", "sweep.csv", "compare.html", "compare.json",
    "compare.csv",
)  # fmt: skip
"""Of the panel Use."""
FILE_NAMES = (
    "layout.toml", "brief.toml", "template.pdf", "template.dxf", "template.svg", "build_pack.zip", "winding_card.html",
    "parts.csv", "report.html", "README.md", "carrier.stl", "carrier.3mf", "cover.stl", "cover.3mf", "former.stl",
    "former.3mf", "search_report.html", "result.json", SEARCH_ZIP,
)  # fmt: skip
"""Of a design, and of a search."""
