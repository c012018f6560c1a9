"""Folders of files that appear whole or not at all."""
