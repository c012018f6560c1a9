"""Gores: the panels, alike and side by side, that cover a round article.

A gore is the profile rolled flat: x is the length along the profile, from the
widest place, and the half width is π·r/n, the n-th part of the circumference.
(For a sphere this is the sinusoidal projection: USGS Professional Paper 1395.)
Cloth bends round the circumference, so widths are arcs of it, not chords.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Curve, Point, joined, line, smooth
from nesting.geometry.transforms import mirrored_in_x
from nesting.panels.drafting.draft import EdgeUse, Fact, Seam, SeamRole, marks_along
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.measurements import Values, length
from nesting.panels.parts.closures import Closing
from nesting.sentences import Length

#: The place of a closure in the seam between two gores.
IN_SEAM: Final = "seam"


def half_edge(half_profile: Sequence[Point], gores: int, straight_mm: float = 0.0) -> Curve:
    """A gore's edge from the widest place to one end, after a straight stretch if there is one."""
    widen = math.pi / gores
    met = straight_mm
    points = [(met, widen * half_profile[0][1])]
    for before, after in pairwise(half_profile):
        met += math.dist(before, after)
        points.append((met, widen * after[1]))
    curve = smooth(points)
    if not straight_mm:
        return curve
    return joined(line((0.0, points[0][1]), points[0]), curve)


def gore(name: str, gores: int, above: Curve, below: Curve) -> FinishedPanel:
    """A gore from its half edges, its top towards greater x; ``left`` as seen towards the top.

    Where an end is no point it has an edge ``top`` or ``bottom``.
    """
    there = [(-x, -y) for x, y in reversed(below.points)]
    back = [(x, -y) for x, y in above.points[1:]]
    right = Curve((*there, *back), below.length_mm + above.length_mm)
    edges = {"right": right}
    (top, upper), (bottom, lower) = above.points[-1], below.points[-1]
    if upper:
        edges["top"] = line((top, -upper), (top, upper))
    edges["left"] = right.mapped(mirrored_in_x).backwards()
    if lower:
        edges["bottom"] = line((-bottom, lower), (-bottom, -lower))
    return FinishedPanel(name, gores, edges)


def side_seams(drawn: FinishedPanel, shut: Closing | None) -> tuple[Seam, ...]:
    """Seams between gores, all equal unless the last one is closed after the others.

    It has the zip or the slit, or without either the opening for turning.
    """
    side, name = drawn.edges["left"].length_mm, drawn.name
    seam = Seam(
        f"{name} to {name}",
        (EdgeUse(name, "right"),),
        (EdgeUse(name, "left"),),
        marks_along(side, parts=4, doubled=3),
        times=drawn.per_item,
        role=SeamRole.JOIN,
    )
    if shut and shut.place != IN_SEAM:
        return (seam,)
    last = replace(
        seam,
        name="closing seam",
        times=1,
        opening_mm=shut.length_mm if shut else 0.0,
        zipped=shut is not None and shut.zip,
        role=SeamRole.CLOSING,
    )
    return replace(seam, times=drawn.per_item - 1), last


def seam_zip_faults(values: Values, shut: Closing | None) -> tuple[Fault, ...]:
    """Zip allowances between gores, which cannot differ from their seams: all gores are equal."""
    if not (shut and shut.zip and shut.place == IN_SEAM) or values["zip_allowance"] is None:
        return ()
    rule = "is that of the seams where the zip lies between two gores, which are all alike"
    remedy = "remove it, or give the seam allowance that the zip needs"
    return (Fault("zip_allowance", rule, Length(length(values, "zip_allowance")), remedy),)


def edge_fact(drawn: FinishedPanel) -> Fact:
    """How much longer a gore's edges are than its centre line."""
    xs = [x for x, _ in drawn.ring]
    centre, side = max(xs) - min(xs), drawn.edges["left"].length_mm
    return Fact(
        f"{drawn.name}: {{}} along its centre line; its edges are {{}}, "
        f"{100 * (side / centre - 1):.2f} % longer",
        (centre, side),
    )
