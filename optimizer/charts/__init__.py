"""Charts: pictures of loads, runs, sweeps, fronts, comparisons and rewound motors."""
