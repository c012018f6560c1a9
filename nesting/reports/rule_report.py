"""One rule of a cloth as the report tells it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class RuleReport:
    """One rule: its name, what it requires, and its effect."""

    rule: str
    required: str
    effect: str
