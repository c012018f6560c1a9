"""A slit is cut, before the outline of its panel; what is only drawn never is.

A knife-edge cushion with a slit in its back and a strap with a fold drawn on
it, laid and exported, read by ezdxf and by ElementTree.
"""

import io

import ezdxf
import oracles
import pytest
import shapely
from worked_lays import TWILL

from nesting.drawings.drawing import Pen
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.svg import writer as svg
from nesting.exporters.cut_path import cut_path
from nesting.exporters.lay import lay_drawing
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.units import CM

#: What goes through the cloth; a machine gives all others to a pen or a drill.
KNIFE = ("inner-cut", "cut")


def made(name, **given):
    product = products()[name]
    values = {each.name: each.default for each in product.measurements} | given
    return make_panels(product, values, item=name, cloth="c", quantity=1, allowance_mm=10.0).panels


def lay():
    """One panel of each beside the other, every second turned end for end."""
    panels = (
        *made("knife-edge-cushion", length=500.0, width=400.0, closure="slit"),
        *made("handle", length=250.0, width=40.0),
    )
    placed, x = [], 2 * CM
    for number, panel in enumerate(panels):
        placed.append(PlacedPanel(panel, 1, 1, 180 * (number % 2), x, 5 * CM))
        x += panel.cut.length + CM
    return ClothLay(TWILL, panels, tuple(placed), CM, proved_optimal=False)


LAY = lay()
SHEET = cut_path(lay_drawing(LAY)).drawing


def by_dxf():
    document = ezdxf.read(io.StringIO(dxf.write(SHEET).decode("cp1252")))
    assert not document.audit().errors
    lines = document.modelspace().query("LWPOLYLINE")
    return [(line.dxf.layer, list(line.get_points("xy"))) for line in lines]


def by_r12():
    document = ezdxf.read(io.StringIO(dxf.write(SHEET, dxf.Release.R12).decode("cp1252")))
    lines = document.modelspace().query("POLYLINE")
    return [(line.dxf.layer, [(p.x, p.y) for p in line.points()]) for line in lines]


def by_svg():
    return [(name, points) for name, _, points in oracles.svg_shapes(svg.write(SHEET))]


def by_plot():
    pens = {number: pen.value for pen, number in hpgl.OWN_PENS.items()}
    strokes = oracles.hpgl_strokes(hpgl.write(SHEET))
    return [(pens[number], points) for number, points in strokes if len(points) > 1]


@pytest.fixture(params=[by_dxf, by_r12, by_svg, by_plot])
def lines(request):
    """The kind and the points of every line in a file, in the order of the file."""
    return request.param()


def where(placed, run):
    return {(x / 100, y / 100) for x, y in placed.on_cloth(run)}


def found(lines, ends):
    """Places in the file, and kinds, of the lines between some ends."""
    return [
        (index, kind)
        for index, (kind, points) in enumerate(lines)
        if len(points) == 2 and shapely.MultiPoint(points).hausdorff_distance(
            shapely.MultiPoint(list(ends))
        ) < 0.03
    ]  # fmt: skip


def test_a_slit_is_on_the_cut_pen_before_any_outline(lines):
    (placed,) = [one for one in LAY.placed if one.panel.inner_cuts]
    ((index, kind),) = found(lines, where(placed, placed.panel.inner_cuts[0]))
    assert kind == "inner-cut"
    outlines = [at for at, (name, _) in enumerate(lines) if name == "cut"]
    assert len(outlines) == len(LAY.placed)
    assert index < min(outlines)


def test_a_line_that_is_only_drawn_is_on_no_cut_pen(lines):
    (placed,) = [one for one in LAY.placed if one.panel.lines]
    ((_, kind),) = found(lines, where(placed, placed.panel.lines[0]))
    assert kind == "inner-line"
    assert kind not in KNIFE
    assert sum(name in KNIFE for name, _ in lines) == len(LAY.placed) + 1  # and the one slit


def test_before_each_outline_in_the_order_of_the_lay_come_the_cuts_inside_it():
    """Without a cut path too: no outline goes before its slit."""
    paths = lay_drawing(LAY).paths
    for slit in (path for path in paths if path.pen is Pen.INNER_CUT):
        middle = shapely.LineString(slit.points).centroid
        (outline,) = [
            path
            for path in paths
            if path.pen is Pen.CUT and shapely.Polygon(path.points).contains(middle)
        ]
        assert paths.index(slit) < paths.index(outline)
