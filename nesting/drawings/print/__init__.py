"""Printed pages: marks on paper, written as PDF."""
