"""Shapes of a maker's own drawing, and what keeps them from being cut."""
