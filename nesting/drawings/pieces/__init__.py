"""Pattern pieces by ASTM D6673, written and read."""
