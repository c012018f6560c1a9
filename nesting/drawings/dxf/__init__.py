"""DXF, written and read."""
