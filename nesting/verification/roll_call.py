"""Whether each panel that the order needs is laid once, and no others are.

A record says how many of a panel are needed in all, but not for how many
items. That number is taken to be the one that explains most of the laid
panels, so that a single missing or misnamed panel gives a single finding. If
the whole last item is missing, the findings may name other copies and parts
instead of its own, but the right number of them.
"""

from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Final

from nesting.verification.claims import Claim, Key, Laid, where
from nesting.verification.findings import Finding, Rule, finding

#: How many missing copies of each panel are listed one by one.
LISTED: Final = 50

#: Copy and part of one panel.
Pair = tuple[int, int]


def check_roll(claim: Claim) -> Iterator[Finding]:
    """Findings about panels that are missing, laid twice or not wanted."""
    pairs: dict[Key, set[Pair]] = {key: set() for key in claim.wanted}
    for one in claim.laid:
        if not _wanted(claim, one):
            yield finding(Rule.WANTED, where(claim, one), "the order needs no panel of this name")
        elif (one.copy, one.part) in pairs[one.key]:
            yield finding(Rule.ONCE, where(claim, one), "laid once more")
        else:
            pairs[one.key].add((one.copy, one.part))
    if claim.complete:
        for key in claim.wanted:
            yield from _missing(claim, key, pairs[key])


def count_items(quantities: Mapping[Key, int], laid: Mapping[Key, set[Pair]]) -> int:
    """How many of one item are cut: the number that explains most of its laid panels."""
    divisors = {count for quantity in quantities.values() for count in _divisors(quantity)}

    def explained(items: int) -> int:
        return sum(
            copy <= items and part <= quantities[key] // items
            for key, pairs in laid.items()
            for copy, part in pairs
        )

    return max(sorted(divisors), key=explained)


def _wanted(claim: Claim, one: Laid) -> bool:
    wanted = claim.wanted.get(one.key)
    return (
        wanted is not None
        and 1 <= one.copy <= wanted.items
        and 1 <= one.part <= wanted.quantity // wanted.items
    )


def _missing(claim: Claim, key: Key, present: set[Pair]) -> Iterator[Finding]:
    wanted, name = claim.wanted[key], f"{claim.cloth}: {key[0]} / {key[1]}"
    if wanted.quantity % wanted.items:
        detail = f"{wanted.quantity} for {wanted.items} items"
        yield finding(Rule.WHOLE_ITEMS, name, detail)
    parts = wanted.quantity // wanted.items
    absent = (
        f"{copy}.{part}"
        for copy in range(1, wanted.items + 1)
        for part in range(1, parts + 1)
        if (copy, part) not in present
    )
    for number in islice(absent, LISTED):
        yield finding(Rule.ALL_THERE, f"{name} / {number}", "not laid")
    if rest := sum(1 for _ in absent):
        yield finding(Rule.ALL_THERE, name, f"{rest} more are not laid")


def _divisors(quantity: int) -> Iterator[int]:
    return (count for count in range(1, quantity + 1) if quantity % count == 0)
