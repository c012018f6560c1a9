"""Order in, verified lay out, and every file made from it."""
