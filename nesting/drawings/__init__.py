"""Drawings of paths and texts; each file format is read and written in one place."""
