"""Writes and reads DXF."""
