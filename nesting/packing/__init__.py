"""Finds lays."""
