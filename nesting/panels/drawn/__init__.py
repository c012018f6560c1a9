"""Shapes from a maker's own drawing, and checks that they can be cut."""
