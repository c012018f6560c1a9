"""Paths, pens and text; each file format read and written once."""
