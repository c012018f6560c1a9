"""Proven lower bounds on the length of a lay.

- the longest panel, and area divided by width (`proofs`, which also runs the others in order);
- panels as *cells*: round panels cannot fill cloth (`cells`);
- panels as *slices* on lines across the strip or along it (`slices`, `knapsack`);
- panels as *stacks* on such lines, which take into account how two panels collide (`stacks`,
  `paths`).

Slices and stacks are two ways to say which parts of panels can be on one line.
`lines` turns either into a proof by column generation, and `runs` turns the
proof into a length. All figures are in half grid units, grown by half the gap
(`figures`). The bounds ignore which way a bundle of panels points; that can
only lower a bound.
"""

from nesting.packing.bounds.proofs import improving_bounds, lower_bound

__all__ = ["improving_bounds", "lower_bound"]
