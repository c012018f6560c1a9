"""The rules of a problem, checked with another library from the outlines of a layout alone."""

from itertools import combinations

import shapely

#: Grid units by which growing by half the gap may fall short (`nesting.geometry.offsetting`).
GROWING = 0.05


def broken_rules(layout):
    """The rules that a layout breaks, in words; none if it is valid."""
    return [
        *_of_each_piece(layout),
        *_of_pairs(layout),
        *_of_bundles(layout),
        *_of_bodies(layout),
        *_of_length(layout),
    ]


def polygons(layout):
    """The outline of every piece where it lies."""
    return [shapely.Polygon(layout.outline(i).points) for i in range(len(layout.problem.pieces))]


def used_length(layout):
    """Greatest x of all outlines; layouts begin at 0."""
    return max(layout.outline(i).bounds[2] for i in range(len(layout.problem.pieces)))


def _of_each_piece(layout):
    for i, (piece, place) in enumerate(zip(layout.problem.pieces, layout.placements, strict=True)):
        x, y, _, top = layout.outline(i).bounds
        if place.turn not in layout.problem.shapes[piece.shape].turns:
            yield f"piece {i} is turned by {place.turn}"
        if (x, y) != (place.x, place.y) or x < 0 or y < 0 or top > layout.problem.width:
            yield f"piece {i} lies outside the strip"


def _of_pairs(layout):
    gap = layout.problem.gap
    for (i, first), (j, second) in combinations(enumerate(polygons(layout)), 2):
        if shapely.relate_pattern(first, second, "T********"):
            yield f"pieces {i} and {j} overlap"
        elif gap and first.distance(second) < gap - GROWING:
            yield f"pieces {i} and {j} are nearer than the gap"


def _of_bodies(layout):
    problem = layout.problem
    for i, lying in enumerate(polygons(layout)):
        for k, body in enumerate(problem.bodies):
            there = shapely.Polygon(body.outline.points)
            if problem.pieces[i].shape in body.open_to:
                continue
            if shapely.relate_pattern(lying, there, "T********"):
                yield f"piece {i} lies over body {k}"
            elif body.clearance and lying.distance(there) < body.clearance - GROWING:
                yield f"piece {i} is nearer to body {k} than its clearance"


def _of_length(layout):
    length = layout.problem.length
    if length is not None and used_length(layout) > length:
        yield "the lay is longer than the strip"


def _of_bundles(layout):
    ways = {}
    for piece, place in zip(layout.problem.pieces, layout.placements, strict=True):
        if piece.bundle is not None:
            ways.setdefault(piece.bundle, set()).add(place.turn >= 180)
    yield from (f"bundle {bundle} points both ways" for bundle, w in ways.items() if len(w) > 1)
