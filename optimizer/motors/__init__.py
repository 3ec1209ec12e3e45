"""Motors: a salvaged motor as found and rewound, and machines side by side."""
