"""Order in, verified lay out, and every file that tells of it."""
