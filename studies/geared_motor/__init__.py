"""The rewound motor behind a pair of gears on a cranked flywheel."""
