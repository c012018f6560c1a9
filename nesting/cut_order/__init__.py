"""The order of cutting: in what order a head makes the cuts of a lay, and where each begins.

The time between two cuts produces nothing. *Travel* is the path of the lifted
head from its start corner to the first cut, and from the end of each cut to
the start of the next. `method.py` shows the method on one page.
"""
