"""Rectangles by their skyline: the deepest gap is filled first."""
