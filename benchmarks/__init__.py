"""Measurements of the packer and of the files; each module with a ``main`` is a command."""
