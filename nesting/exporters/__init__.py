"""Exports lays and panels as drawings and files."""
