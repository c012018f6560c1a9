"""Order in, verified lay out, and every file that tells of it."""

from nesting.planning.plan import Plan, Search, plan_order

__all__ = ["Plan", "Search", "plan_order"]
