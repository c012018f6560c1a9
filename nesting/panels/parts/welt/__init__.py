"""Welt strips, and the welt in the seams of an article."""
