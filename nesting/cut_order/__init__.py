"""The order of cutting: in what order a head makes the cuts of a lay, and where it enters each.

What a machine does between two cuts costs time and makes nothing: *travel*
is the way of the lifted head from the end of one cut to the start of the
next, from its start corner on. `method.py` is the method on one page.
"""
