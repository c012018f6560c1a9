"""Plane figures on the integer grid; knows nothing of cloth."""
