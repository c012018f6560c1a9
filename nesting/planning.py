"""Order in, verified layout out."""
