"""Guided search: pieces may overlap for a while and are then separated again."""
