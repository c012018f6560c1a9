"""Arcs in place of chords."""

import io
import math

import ezdxf
import pytest
import shapely
from ezdxf.math import bulge_center, bulge_radius
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.arcs import with_arcs
from nesting.drawings.drawing import Drawing, Path, Pen
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.geometry.curves import arc, circle, smooth
from nesting.geometry.outline import rounded_outward
from nesting.tolerances import ARC_MM, CHORD_MM, READ_MM


def rounded(points):
    """Points on the grid of 0.01 mm, as panels have them."""
    return tuple((x / 100, y / 100) for x, y in rounded_outward(points))


def flattened(entity):
    """Points of a light polyline with arcs, from the arcs that ezdxf finds in it."""
    points = []
    for part in entity.virtual_entities():
        run = [part.dxf.start, part.dxf.end] if part.dxftype() == "LINE" else part.flattening(1e-3)
        run = [(p.x, p.y) for p in run]
        if points and math.dist(points[-1], run[0]) > math.dist(points[-1], run[-1]):
            run.reverse()
        points += run[1:] if points else run
    return points


def on_sheet(path):
    return Drawing("t", 2000.0, 2000.0, (path,), ())


def test_a_circle_becomes_two_half_circles():
    points = tuple((x + 300, y + 300) for x, y in rounded(circle(200.0).points[:-1]))
    bends = with_arcs(Path(Pen.CUT, points, closed=True))
    assert len(points) > 100
    assert [bulge for *_, bulge in bends] == [pytest.approx(1, abs=0.01)] * 2
    (x0, y0, bulge), (x1, y1, _) = bends
    centre = bulge_center((x0, y0), (x1, y1), bulge)
    assert (centre.x, centre.y) == (pytest.approx(300, abs=0.02), pytest.approx(300, abs=0.02))
    assert bulge_radius((x0, y0), (x1, y1), bulge) == pytest.approx(200, abs=0.02)


def test_straight_sides_stay_straight_though_their_corners_lie_on_a_circle():
    corners = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
    bends = with_arcs(Path(Pen.CUT, corners, closed=True))
    assert bends == [(x, y, 0.0) for x, y in corners]


def test_rounded_corners_become_arcs_and_the_sides_between_them_stay():
    corners = [
        arc(centre, 50.0, start, 90).points
        for centre, start in (((350, 50), -90), ((350, 250), 0), ((50, 250), 90), ((50, 50), 180))
    ]
    path = Path(Pen.CUT, rounded([point for corner in corners for point in corner]), closed=True)
    bends = with_arcs(path)
    # tangent of a quarter of 90 degrees: 0.41421
    assert [round(bulge, 3) for *_, bulge in bends] == [0.414, 0.0] * 4


def test_an_open_line_keeps_its_end():
    points = rounded(arc((0, 0), 100.0, 0, 120).points)
    bends = with_arcs(Path(Pen.STITCH, points))
    assert bends[0][:2] == points[0]
    assert bends[-1] == (*points[-1], 0.0)
    assert bends[0][2] == pytest.approx(math.tan(math.radians(30)), abs=0.001)


def test_a_clockwise_arc_has_a_negative_bulge():
    points = rounded(arc((0, 0), 100.0, 90, -60).points)
    ((_, _, bulge), _) = with_arcs(Path(Pen.CUT, points))
    assert bulge == pytest.approx(-math.tan(math.radians(15)), abs=0.001)


@settings(max_examples=25, deadline=None)
@given(st.floats(40, 900), st.floats(0.4, 2.5), st.floats(-1, 1))
def test_arcs_stay_near_the_vertices_and_no_further_from_the_chords_than_the_curve(r, flat, skew):
    dense = [
        (r * math.cos(t) + skew * r * math.sin(t) ** 2, flat * r * math.sin(t))
        for t in (math.tau * i / 2000 for i in range(2001))
    ]
    dense[-1] = dense[0]
    points = rounded(smooth(dense).points[:-1])
    path = Path(Pen.CUT, points, closed=True)
    (entity,) = ezdxf.read(
        io.StringIO(dxf.write(on_sheet(path), arcs=True).decode("cp1252"))
    ).modelspace()
    drawn = shapely.LinearRing(flattened(entity))
    assert len(entity) < len(points)
    assert max(shapely.Point(point).distance(drawn) for point in points) <= ARC_MM + 0.001
    bowed = shapely.hausdorff_distance(drawn, shapely.LinearRing(points))
    assert bowed <= CHORD_MM + ARC_MM + 0.001


def test_arcs_are_read_as_chords_within_the_distance_that_the_drawing_states():
    points = tuple((x + 300, y + 300) for x, y in rounded(circle(200.0).points[:-1]))
    read = dxf_reader.read(dxf.write(on_sheet(Path(Pen.CUT, points, closed=True)), arcs=True))
    (path,) = read.paths
    assert path.closed
    off = shapely.hausdorff_distance(
        shapely.LinearRing(path.points), shapely.LinearRing(points), densify=0.01
    )
    assert 0.02 < off <= read.within
    assert read.within == pytest.approx(CHORD_MM + ARC_MM + READ_MM)
