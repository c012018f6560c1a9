"""Writes a folder of files as a whole or not at all."""
