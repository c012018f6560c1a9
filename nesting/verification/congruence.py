"""Whether an outline on the cloth is that of the panel it claims to be.

Outlines are turned here and not by the code that made the lay, so that a
mistake there cannot approve itself. Shifts are removed before outlines are
compared: other rules check where an outline lies.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely

from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.claims import Claim, Laid, Ring, at, is_simple, turned, where
from nesting.verification.findings import Finding, Rule, finding

#: Rings with more vertices that start at different vertices are compared as
#: curves, not vertex by vertex, since every start is tried at once in memory.
_VERTICES: Final = 1000

#: Greatest distance between two rings, and its place on the first.
Mismatch = tuple[float, Ring]


def check_shapes(claim: Claim) -> Iterator[Finding]:
    """Findings about outlines that are broken or differ from that of their panel."""
    for key, wanted in claim.wanted.items():
        if not is_simple(shapely.Polygon(wanted.ring)):
            yield finding(Rule.SIMPLE, f"{claim.cloth}: {key[0]} / {key[1]}", "the panel's outline")
    for one in claim.laid:
        if not is_simple(one.polygon):
            reason = shapely.is_valid_reason(one.polygon)
            yield finding(Rule.SIMPLE, where(claim, one), f"the outline on the cloth: {reason}")
        if one.key in claim.wanted:
            yield from _check_congruence(claim, one, claim.wanted[one.key].ring)


def mismatch(ring: Ring, other: Ring) -> Mismatch:
    """How far two rings differ, in millimetres, wherever they lie and start.

    Rings with equally many vertices are compared vertex by vertex, since a
    vertex of a fine curve can move along the curve much farther than the curve
    changes. Otherwise the result is the Hausdorff distance of the two curves.
    """
    if len(ring) != len(other):
        return _curve_mismatch(ring, other)
    for start in dict.fromkeys((_nearest(ring, other), 0)):
        straight = _vertex_mismatch(ring, np.roll(other, -start, axis=0)[np.newaxis])
        if straight[0] <= DEPTH_MM + FLOAT_MM:
            return straight
    if len(ring) > _VERTICES:
        return _curve_mismatch(ring, other)
    count = np.arange(len(other))
    starts = (count[:, np.newaxis] + count) % len(other)
    both_ways = [_vertex_mismatch(ring, way[starts]) for way in (other, other[::-1])]
    return min(both_ways, key=lambda found: found[0])


def _check_congruence(claim: Claim, one: Laid, own: Ring) -> Iterator[Finding]:
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within  # both ends of a shift may be off
    off, place = mismatch(one.ring, turned(own, one.turn))
    if off <= allowed:
        return
    detail = f"differs by {off:.2f} mm {at(place)}, turned {one.turn:g}°"
    fitting = _fitting_turns(one.ring, own, allowed)
    if fitting and one.turn not in fitting:
        detail += f"; it would fit if turned {fitting[0]}°"
    elif not fitting and _fitting_turns(one.ring, mirrored(own), allowed):
        image = f"the outline is the panel's mirror image {at(one.ring.min(axis=0))}"
        yield finding(Rule.NOT_MIRRORED, where(claim, one), image)
    yield finding(Rule.CONGRUENT, where(claim, one), detail)


def _vertex_mismatch(ring: Ring, others: Ring) -> Mismatch:
    """Least mismatch of a ring with any of several others, of shape (others, vertices, 2).

    The shift is the median of the differences: one vertex out of place does
    not change it, so that vertex is found where it is.
    """
    apart = ring - others
    apart -= np.median(apart, axis=1, keepdims=True)
    off = np.hypot(apart[..., 0], apart[..., 1])
    best = int(off.max(axis=1).argmin())
    worst = int(off[best].argmax())
    return float(off[best, worst]), ring[worst]


def _nearest(ring: Ring, other: Ring) -> int:
    """The vertex of another ring that is nearest to the first of this one, both from one corner."""
    apart = other - other.min(axis=0) - (ring[0] - ring.min(axis=0))
    return int(np.hypot(apart[:, 0], apart[:, 1]).argmin())


def _curve_mismatch(ring: Ring, other: Ring) -> Mismatch:
    moved = other - other.min(axis=0) + ring.min(axis=0)
    curve, other_curve = shapely.LinearRing(ring), shapely.LinearRing(moved)
    off = shapely.distance(shapely.points(ring), other_curve)
    return float(shapely.hausdorff_distance(curve, other_curve)), ring[int(off.argmax())]


def _fitting_turns(ring: Ring, own: Ring, allowed: float) -> list[int]:
    quarters = (0, 90, 180, 270)
    return [turn for turn in quarters if _curve_mismatch(ring, turned(own, turn))[0] <= allowed]


def mirrored(ring: Ring) -> Ring:
    """The mirror image of a ring, which runs the other way round."""
    return np.column_stack((ring[:, 0], -ring[:, 1]))
