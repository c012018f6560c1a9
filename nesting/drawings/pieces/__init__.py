"""Writes and reads pattern pieces in DXF by ASTM D6673."""
