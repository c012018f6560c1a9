"""Welt: its strip, and what it adds to an article."""
