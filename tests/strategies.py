"""Random figures and problems that several rooms are tested with."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from hypothesis import assume
from hypothesis import strategies as st

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Body, Piece, Problem, Shape
from nesting.packing.stage import Arrangement

QUARTERS = (0, 90, 180, 270)


def box(length, height):
    """A rectangle with its least corner at the origin."""
    return Outline(((0, 0), (length, 0), (length, height), (0, height)))


def from_origin(outline):
    """The outline with its least corner at the origin, as shapes have it."""
    x, y = outline.bounds[:2]
    return Outline(tuple((px - x, py - y) for px, py in outline.points))


@st.composite
def convex_outlines(draw, reach=12):
    """Hulls of a few grid points."""
    points = draw(st.lists(_points(reach), min_size=3, max_size=9, unique=True))
    return _outline(shapely.MultiPoint(points).convex_hull)


@st.composite
def star_outlines(draw, reach=12):
    """Polygons all of which can be seen from their middle: spikes, needles, stars."""
    radii = draw(st.lists(st.integers(1, reach), min_size=3, max_size=10))
    start = draw(st.floats(0, math.tau))
    angles = [start + math.tau * i / len(radii) for i in range(len(radii))]
    return _outline(
        shapely.Polygon(
            [
                (round(r * math.cos(a)), round(r * math.sin(a)))
                for r, a in zip(radii, angles, strict=True)
            ]
        )
    )


@st.composite
def winding_outlines(draw, reach=12):
    """Any polygons: grid points in random order, untangled."""
    ring = draw(st.lists(_points(reach), min_size=3, max_size=9, unique=True))
    crossing = True
    while crossing:
        crossing = False
        for i in range(len(ring) - 2):
            for j in range(i + 2, len(ring) - (i == 0)):
                a, b, c, d = ring[i], ring[i + 1], ring[j], ring[(j + 1) % len(ring)]
                if math.dist(a, c) + math.dist(b, d) < math.dist(a, b) + math.dist(c, d) - 1e-9:
                    ring[i + 1 : j + 1] = ring[i + 1 : j + 1][::-1]
                    crossing = True
    return _outline(shapely.Polygon(ring))


@st.composite
def bay_outlines(draw, reach=12):
    """Combs and bays with upright sides: what a small piece can lie within."""
    steps = draw(st.integers(2, 6))
    xs = sorted(draw(st.sets(st.integers(0, 2 * reach), min_size=steps + 1, max_size=steps + 1)))
    heights = draw(st.lists(st.integers(1, reach), min_size=steps, max_size=steps))
    top = [
        point
        for (x0, x1), h in zip(pairwise(xs), heights, strict=True)
        for point in ((x0, h), (x1, h))
    ]
    return _outline(shapely.Polygon([(xs[0], 0), *top, (xs[-1], 0)]))


def outlines(reach=12):
    """Simple polygons of every kind."""
    return st.one_of(
        convex_outlines(reach), star_outlines(reach), winding_outlines(reach), bay_outlines(reach)
    )


@st.composite
def arrangements(draw, stage, length):
    """Any poses at any places on a strip of a length, without regard to overlap."""
    poses = [draw(st.sampled_from(choice)) for choice in stage.choices]
    xs = [draw(st.integers(0, length)) for _ in poses]
    ys = [draw(st.integers(0, int(stage.width - stage.height[pose]))) for pose in poses]
    return Arrangement(*(np.array(values, dtype=np.int64) for values in (poses, xs, ys)))


@st.composite
def problems(draw, most=5, reach=12, turns=QUARTERS, gaps=(0,)):
    """Problems of a few pieces, each of which fits the strip in every turn."""
    kinds = draw(st.lists(outlines(reach).map(from_origin), min_size=1, max_size=3))
    allowed = draw(
        st.lists(
            st.sets(st.sampled_from(turns), min_size=1).map(lambda s: tuple(sorted(s))),
            min_size=len(kinds),
            max_size=len(kinds),
        )
    )
    shapes = tuple(Shape(outline, way) for outline, way in zip(kinds, allowed, strict=True))
    pieces = draw(st.lists(st.sampled_from(range(len(kinds))), min_size=1, max_size=most))
    widest = max(max(outline.length, outline.height) for outline in kinds)
    width = draw(st.integers(widest, 3 * widest))
    return Problem(width, shapes, tuple(map(Piece, pieces)), draw(st.sampled_from(gaps)))


@st.composite
def with_bodies(draw, problem, reach=12, clearances=(0,), most=4, along=40):
    """The problem with outlines that lie still on its strip or over its edges; some are open."""
    bodies = []
    for outline in draw(st.lists(outlines(reach), min_size=1, max_size=most)):
        x, y = draw(st.integers(-reach, along)), draw(st.integers(-reach, problem.width))
        there = Outline(tuple((px + x, py + y) for px, py in outline.points))
        shapes = st.sets(st.sampled_from(range(len(problem.shapes))), max_size=1)
        open_to = draw(st.one_of(st.just(frozenset()), shapes.map(frozenset)))
        bodies.append(Body(there, draw(st.sampled_from(clearances)), open_to))
    return replace(problem, bodies=tuple(bodies))


def _points(reach):
    return st.tuples(st.integers(0, reach), st.integers(0, reach))


def _outline(polygon):
    """An outline of what shapely holds for a simple polygon; anything else is not tried."""
    assume(polygon.geom_type == "Polygon" and polygon.is_valid and polygon.area > 0)
    return Outline(tuple((round(x), round(y)) for x, y in polygon.exterior.coords[:-1]))
