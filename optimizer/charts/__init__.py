"""Charts: pictures of loads, runs, sweeps, fronts, comparisons and rewound motors."""

__all__ = ["comparison_charts", "drive_charts", "load_charts", "rewind_charts", "sweep_charts"]
