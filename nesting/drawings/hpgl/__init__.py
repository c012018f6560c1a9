"""HP-GL for pen plotters, written and read."""
