"""Proven lower bounds on the length of a lay.

- the longest panel, and area by width (`proofs`, which also orders the rest);
- panels as *cells*: round panels cannot fill cloth (`cells`);
- panels as *slices* on lines across the strip, or along it (`slices`, `knapsack`);
- panels as *stacks* on such lines, which know how two panels collide (`stacks`, `paths`).

Slices and stacks are two ways to say which parts of panels can stand on one
line. `lines` makes a proof of either by column generation, `runs` a length.
Every figure is seen in half grid units, grown by half the gap (`figures`).
Which way a bundle of panels points is left open; that can only lower a bound.
"""

from nesting.packing.bounds.proofs import improving_bounds, lower_bound

__all__ = ["improving_bounds", "lower_bound"]
