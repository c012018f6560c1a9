"""Writes and reads SVG."""
