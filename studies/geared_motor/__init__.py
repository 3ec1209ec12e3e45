"""The rewound motor behind a pair of gears on a pumped flywheel."""
