"""Whether panels lie on usable cloth, clear of each other, in turns they may take."""

import math
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from typing import Final

from nesting.cloth.cloth import Nap
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.claims import Claim, Laid, Part, Rules, at, is_simple, where
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.separation import nearer_than, overlaps

#: How many pairs that overlap or are too near are listed one by one.
LISTED: Final = 100


def check_strip(claim: Part) -> Iterator[Finding]:
    """Findings about panels outside a strip of cloth, and about blank cloth before the lay."""
    rules, allowed = claim.rules, DEPTH_MM + FLOAT_MM + claim.within
    length = math.inf if claim.piece.length is None else claim.piece.length
    for one in claim.laid:
        x, y = one.ring[:, 0], one.ring[:, 1]
        for rule, over, vertex, edge in (
            (Rule.SELVEDGE, rules.selvedge - y.min(), y.argmin(), "the lower selvedge line"),
            (Rule.SELVEDGE, y.max() - rules.width + rules.selvedge, y.argmax(), "the upper one"),
            (Rule.CUT_END, rules.end_allowance - x.min(), x.argmin(), "the start"),
            (Rule.FAR_END, x.max() - length + rules.end_allowance, x.argmax(), "the end"),
        ):
            if over > allowed:
                detail = f"{over:.2f} mm beyond {edge} {at(one.ring[vertex])}"
                yield finding(rule, where(claim, one), detail)
    blank = claim.start - rules.end_allowance
    if blank > allowed:
        yield finding(Rule.CUT_END, claim.cloth, f"{blank:.2f} mm of cloth lie blank before it")


def check_clearances(claim: Claim) -> Iterator[Finding]:
    """Findings about panels that overlap or are nearer than the gap.

    Each outline may be off, so the distance between two may be off by twice as much.
    """
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within
    laid = [one for one in claim.laid if is_simple(one.polygon)]
    overlapping = set()
    deep = overlaps([one.polygon for one in laid], allowed)
    for pair in islice(deep, LISTED):
        overlapping.add((pair.first, pair.second))
        detail = f"{pair.depth:.2f} mm deep, {pair.area:.2f} mm² {at(pair.at)}"
        yield finding(Rule.OVERLAP, _both(claim, laid[pair.first], laid[pair.second]), detail)
    if next(deep, None):
        yield finding(Rule.OVERLAP, claim.cloth, "more panels overlap than are listed")
    elif claim.rules.gap > allowed:
        yield from _gaps(claim, laid, overlapping)


def _gaps(claim: Claim, laid: list[Laid], overlapping: set[tuple[int, int]]) -> Iterator[Finding]:
    gap = claim.rules.gap
    near = nearer_than([one.polygon for one in laid], gap - DEPTH_MM - FLOAT_MM - 2 * claim.within)
    narrow = (pair for pair in near if (pair.first, pair.second) not in overlapping)
    for pair in islice(narrow, LISTED):
        detail = f"{pair.distance:.2f} mm apart instead of {gap:.2f} mm {at(pair.at)}"
        yield finding(Rule.GAP, _both(claim, laid[pair.first], laid[pair.second]), detail)
    if next(narrow, None):
        yield finding(Rule.GAP, claim.cloth, "more panels are too close than are listed")


def check_directions(claim: Claim) -> Iterator[Finding]:
    """Findings about turns that the nap or a panel's grain forbids."""
    for one in claim.laid:
        wanted = claim.wanted.get(one.key)
        turns = turns_allowed(claim.rules, any_grain=wanted is not None and wanted.any_grain)
        if one.turn not in turns:
            allowed = ", ".join(f"{turn}°" for turn in turns)
            detail = f"turned {one.turn:g}° {_corner(one)}, may be {allowed}"
            yield finding(Rule.TURN, where(claim, one), detail)
    if claim.rules.nap is Nap.UP_AND_DOWN:
        yield from _against_their_item(claim)


def turns_allowed(rules: Rules, *, any_grain: bool) -> tuple[int, ...]:
    """The turns that the nap allows a panel, least first."""
    if rules.nap is Nap.ONE_WAY:
        return (0,)
    return (0, 90, 180, 270) if rules.cross_grain or any_grain else (0, 180)


def _against_their_item(claim: Claim) -> Iterator[Finding]:
    """Findings about the minority, where panels of one copy of an item point both ways."""
    ways = Counter((one.key[0], one.copy, one.turn >= 180) for one in claim.laid)
    for one in claim.laid:
        back = one.turn >= 180
        with_it = ways[one.key[0], one.copy, back]
        against = ways[one.key[0], one.copy, not back]
        if against > with_it or (against == with_it and back):
            detail = f"turned {one.turn:g}°, against {against} of the same item {_corner(one)}"
            yield finding(Rule.ONE_DIRECTION, where(claim, one), detail)


def _corner(one: Laid) -> str:
    return at(one.ring.min(axis=0))


def _both(claim: Claim, first: Laid, second: Laid) -> str:
    return f"{claim.cloth}: {first.name} and {second.name}"
