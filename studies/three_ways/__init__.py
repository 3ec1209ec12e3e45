"""Disc magnets, the rewound motor, and the rewound motor with gears, on one rig."""
