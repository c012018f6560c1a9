"""Lays and panels to drawings and files."""
