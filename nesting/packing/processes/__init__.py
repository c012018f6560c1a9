"""Searches in several processes, and Ctrl-C."""
