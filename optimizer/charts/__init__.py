"""Charts: pictures of loads, runs, sweeps, fronts, comparisons and rewound motors."""

__all__ = [
    "compare_charts",
    "drive_charts",
    "like_for_like_charts",
    "load_charts",
    "rewind_charts",
    "sweep_charts",
]
