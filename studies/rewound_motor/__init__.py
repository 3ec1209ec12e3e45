"""A motor from a broken toy, rewound."""
