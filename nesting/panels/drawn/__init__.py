"""Shapes of a maker's own drawing, judged."""
