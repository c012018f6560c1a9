"""Guided search: pieces may overlap for a while, and are separated again."""
