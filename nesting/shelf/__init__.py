"""The shelf: rolls and remnants that are there, in a file that several commands may use at once."""
