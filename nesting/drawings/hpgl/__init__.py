"""Writes and reads HP-GL for pen plotters."""
