"""What the workroom makes, one product in each file."""
