"""Measurements of the packer; each module with a ``main`` is a command."""
