"""Plane figures on the integer grid; knows no cloth."""
