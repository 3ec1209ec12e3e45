"""Reports: pages made from results, and the files beside them."""

__all__ = [
    "compare_report",
    "drive_report",
    "like_for_like_report",
    "load_pack",
    "machine_report",
    "pages",
    "pictures",
    "report",
    "rewind_report",
    "sweep_report",
]
