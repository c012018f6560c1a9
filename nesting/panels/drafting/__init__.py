"""From finished shapes to what a sewer and a cutter must be told of them."""
