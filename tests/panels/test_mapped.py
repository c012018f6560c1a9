"""Panels moved by a function of points: whatever is drawn of them moves with them."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from strategies import outlines

from nesting.geometry.curves import Curve, arc, line
from nesting.geometry.outline import twice_area
from nesting.geometry.transforms import mirrored_in_x, shifted, turned
from nesting.panels.drafting.finished import CutLine, Drill, EdgeSort, FinishedPanel
from nesting.panels.panel import DrillMark, Notch, Panel, PanelEdge

#: Points inside and outside of a panel, whatever stands there.
points = st.tuples(st.integers(-500, 500), st.integers(-500, 500))


@st.composite
def panels(draw):
    """Cut panels with something of everything that can be drawn on one."""
    cut = draw(outlines())
    a, b, c, d = draw(st.tuples(points, points, points, points))
    closed = (*cut.points, cut.points[0])
    return Panel(
        name="wing",
        item="kite",
        cloth="twill",
        per_item=2,
        quantity=3,
        cut=cut,
        stitch=cut,
        notches=(Notch(a, b), Notch(c, d, clip=True)),
        grain=(b, c),
        label=d,
        edges=tuple(
            PanelEdge(f"side {i}", "seam", i, edge) for i, edge in enumerate(pairwise(closed))
        ),
        drills=(DrillMark(a, "button"),),
        lines=((a, b, c), (c, d)),
        inner_cuts=((b, d, a, b),),
    )


def finished_wing():
    """A quarter of a disc, with something of everything that can be drawn on it."""
    edges = {
        "near": line((0.0, 0.0), (200.0, 0.0)),
        "rim": arc((0.0, 0.0), 200.0, 0.0, 90.0),
        "left": line((0.0, 200.0), (0.0, 0.0)),
    }
    return FinishedPanel(
        "wing",
        1,
        edges,
        sorts={"left": EdgeSort.HEM},
        drills=(Drill((30.0, 40.0), "button"),),
        lines=(((10.0, 20.0), (50.0, 25.0)),),
        inner_cuts=(((60.0, 20.0), (90.0, 35.0), (60.0, 20.0)),),
        given=CutLine(((-9.0, -9.0), (220.0, -9.0), (-9.0, 220.0)), 9.0),
        notched=(((100.0, 0.0), (100.0, 6.0)),),
    )


def quarter(run):
    return turned(run, 90)


def every_point(thing: object) -> Iterator[tuple[float, float]]:
    """All pairs of numbers in whatever a dataclass holds, however deep."""
    if is_dataclass(thing):
        thing = [getattr(thing, field.name) for field in fields(thing)]
    if isinstance(thing, Mapping):
        thing = list(thing.values())
    if isinstance(thing, tuple) and list(map(type, thing)) in ([int, int], [float, float]):
        yield thing
    elif isinstance(thing, tuple | list):
        for each in thing:
            yield from every_point(each)


@given(panels())
def test_four_quarter_turns_give_the_same_panel(panel):
    assert panel.mapped(quarter) != panel
    assert panel.mapped(quarter).mapped(quarter).mapped(quarter).mapped(quarter) == panel


@given(panels())
def test_two_mirror_images_give_the_same_panel(panel):
    again = panel.mapped(mirrored_in_x).mapped(mirrored_in_x)
    assert again == panel


@given(panels(), points)
def test_every_point_that_a_panel_holds_is_moved(panel, by):
    """Also points of fields that nobody has thought of yet."""
    after = panel.mapped(lambda run: shifted(run, *by))
    assert list(every_point(after)) == list(shifted(every_point(panel), *by))


@given(panels())
def test_the_edges_of_a_mirror_image_follow_each_other_anticlockwise(panel):
    image = panel.mapped(mirrored_in_x)
    ring = [edge.points[0] for edge in image.edges]
    assert twice_area(ring) == panel.stitch.area2
    assert all(
        one.points[-1] == other.points[0]
        for one, other in zip(image.edges, (*image.edges[1:], image.edges[0]), strict=True)
    )
    assert shapely.Polygon(ring).equals(shapely.Polygon(image.stitch.points))
    assert [edge.name for edge in image.edges] == [edge.name for edge in panel.edges][::-1]


@given(panels())
def test_a_panel_without_a_stitch_line_has_none_when_it_is_moved(panel):
    assert replace(panel, stitch=None).mapped(quarter).stitch is None


def test_four_quarter_turns_give_the_same_finished_panel():
    panel = finished_wing()
    assert panel.mapped(quarter) != panel
    assert panel.mapped(quarter).mapped(quarter).mapped(quarter).mapped(quarter) == panel


def test_two_mirror_images_give_the_same_finished_panel():
    panel = finished_wing()
    image = panel.mapped(mirrored_in_x)
    assert list(image.edges) == ["left", "rim", "near"]
    assert image.area_mm2 == pytest.approx(panel.area_mm2)
    again = image.mapped(mirrored_in_x)
    assert again == panel
    assert list(again.edges) == list(panel.edges)


def test_every_point_that_a_finished_panel_holds_is_moved():
    panel = finished_wing()
    after = panel.mapped(lambda run: shifted(run, 7.0, -3.0))
    assert list(every_point(after)) == list(shifted(every_point(panel), 7.0, -3.0))


def test_a_curve_run_backwards_keeps_its_length():
    curve = Curve(((0.0, 0.0), (3.0, 4.0)), 5.5)
    assert curve.backwards() == Curve(((3.0, 4.0), (0.0, 0.0)), 5.5)
